package main

import (
	"encoding/binary"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// pack is where Debian's tesseract-ocr-eng puts the English model.
const pack = "/usr/share/tesseract-ocr/5/tessdata/eng.traineddata"

// english unpacks the English model, or skips the test where it is missing.
func english(t *testing.T) parts {
	t.Helper()
	for _, name := range []string{"combine_tessdata", "lstmtraining", "lstmeval"} {
		if !installed(name) {
			t.Skipf("%s is not installed (Debian package tesseract-ocr)", name)
		}
	}
	if _, err := os.Stat(pack); err != nil {
		t.Skipf("%s is not installed (Debian package tesseract-ocr-eng)", pack)
	}
	p, err := unpack(t.Context(), pack, t.TempDir(), "eng")
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestNetworkBecomesFloat(t *testing.T) {
	p := english(t)
	data, err := os.ReadFile(p.prefix + "lstm")
	if err != nil {
		t.Fatal(err)
	}
	n, err := readNetwork(data)
	if err != nil {
		t.Fatal(err)
	}
	// The spec that the file itself carries: a convolution to 16, LSTMs of 48,
	// 96, 96 and 192, an output of 111.
	if want := "[1,36,0,1Ct3,3,16Mp3,3Lfys48Lfx96Lrx96Lfx192O1c1]"; n.trailer.spec != want {
		t.Errorf("spec %q, want %q", n.trailer.spec, want)
	}
	if n.trailer.flags&flagIntModel == 0 {
		t.Error("Debian's model should be of whole numbers")
	}
	// One matrix for the convolution, four gates for each LSTM, one output.
	if got, want := len(n.matrices), 1+4*4+1; got != want {
		t.Fatalf("%d matrices, want %d", got, want)
	}
	weights := 0
	for _, m := range n.matrices {
		weights += len(m.weights)
	}
	// The first layer's head says how many weights the network has.
	if said := int(binary.LittleEndian.Uint32(data[25:])); weights != said {
		t.Errorf("%d weights, the file says %d", weights, said)
	}

	back, err := readNetwork(n.bytes())
	if err != nil {
		t.Fatal(err)
	}
	if back.trailer.flags&flagIntModel != 0 || back.trailer.iteration != 0 || back.trailer.samples != 0 {
		t.Errorf("trailer %+v: should be a float model that was never trained", back.trailer)
	}
	for i, m := range n.matrices {
		for k, w := range m.weights {
			if back.matrices[i].weights[k] != w {
				t.Fatalf("matrix %d, weight %d: %g became %g", i, k, w, back.matrices[i].weights[k])
			}
		}
	}
}

// Tesseract itself must turn the float network back into the weights it came
// from (it works in single precision): that checks our scales against its own.
func TestFloatBecomesTheSameIntegers(t *testing.T) {
	p := english(t)
	tr := &trainer{work: t.TempDir(), parts: p}
	model, err := tr.runtime(t.Context(), p.float(), filepath.Join(tr.work, "again"))
	if err != nil {
		t.Fatal(err)
	}
	again, err := unpack(t.Context(), model, t.TempDir(), "eng")
	if err != nil {
		t.Fatal(err)
	}
	var nets [2]*network
	for i, x := range []parts{p, again} {
		data, err := os.ReadFile(x.prefix + "lstm")
		if err != nil {
			t.Fatal(err)
		}
		if nets[i], err = readNetwork(data); err != nil {
			t.Fatal(err)
		}
	}
	for i, m := range nets[0].matrices {
		for k, w := range m.weights {
			if got := nets[1].matrices[i].weights[k]; math.Abs(got-w) > 1e-6*math.Abs(w) {
				t.Fatalf("matrix %d, weight %d: %g became %g", i, k, w, got)
			}
		}
	}
	if info, err := os.Stat(model); err != nil || info.Size() > 500_000 {
		t.Errorf("the dictionaries should be gone: %v, %v", info, err)
	}
}

func TestReadNetworkRefuses(t *testing.T) {
	long := append([]byte{0, 5, 0, 0, 0}, "Other"...)
	long = append(long, make([]byte, 64)...)
	for name, c := range map[string]struct {
		data []byte
		want string
	}{
		"nothing":       {nil, "ends too early"},
		"cut":           {[]byte{0, 6, 0, 0, 0, 'S'}, "ends too early"},
		"unknown layer": {long, `layer "Other" is not known`},
		"by number":     {[]byte{7, 0, 0}, "by number"},
	} {
		if _, err := readNetwork(c.data); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want %q", name, err, c.want)
		}
	}
}

func TestAverage(t *testing.T) {
	net := func(rows int, w ...float64) *network {
		return &network{head: make([][]byte, 2), matrices: []matrix{{rows, len(w) / rows, w}}}
	}
	mean, err := average([]*network{net(1, 1, -2), net(1, 3, 4)})
	if err != nil {
		t.Fatal(err)
	}
	if w := mean.matrices[0].weights; w[0] != 2 || w[1] != 1 {
		t.Errorf("mean %v, want [2 1]", w)
	}
	if _, err := average([]*network{net(1, 1, 2), net(2, 1, 2)}); err == nil {
		t.Error("networks of different shapes should be refused")
	}
	if _, err := average(nil); err == nil {
		t.Error("no networks should be refused")
	}
}
