package tillproof_test

import (
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// mayImport lists, for each package, those of our own it may import directly:
// the data's one way through the program. A package that is not listed fails.
var mayImport = map[string][]string{
	"money":         {},
	"plan":          {"money", "plan/coupon"},
	"plan/coupon":   {"money"},
	"plan/draft":    {"money", "parse", "plan"},
	"plan/merge":    {"plan"},
	"plan/schema":   {},
	"plan/split":    {"money", "plan"},
	"ocr":           {"ocr/lines", "ocr/paper", "ocr/raster"},
	"ocr/raster":    {},
	"ocr/lines":     {"ocr/raster"},
	"ocr/paper":     {"ocr/lines", "ocr/raster"},
	"ocr/model":     {},
	"ocr/tesseract": {"ocr", "ocr/model"},
	"ocr/worker":    {"ocr", "ocr/model", "ocr/tesseract"},
	"ocr/fastjpeg":  {"ocr"},
	"ocr/join":      {"ocr"},
	"ocr/ocrtest":   {"ocr"},
	"ocr/replay":    {"ocr"},
	"parse":         {"money", "ocr"},
	"parse/match":   {"money", "parse", "plan"},
	"audit":         {"audit/law", "money", "parse", "parse/match", "plan"},
	"audit/law":     {"money"},
	"audit/letter":  {"audit", "money", "plan"},
	"report":        {"audit", "money", "parse", "plan"},

	"ledger":          {"audit", "ledger/state", "money", "ocr", "plan"},
	"ledger/state":    {"money", "plan"},
	"report/weekpage": {"audit", "money", "parse", "plan", "report", "week"},
	"week":            {"audit", "ledger/state", "money", "ocr", "ocr/join", "parse", "parse/match", "plan"},

	"report/overlay":  {"audit"},
	"report/blackout": {"ocr", "parse"},
	"report/packet":   {"audit", "money", "parse", "plan", "report", "report/blackout"},
	"audit/accuracy":  {"audit", "money", "plan"},
	"report/planpage": {"money", "plan", "plan/split", "report"},

	"cmd/intake":    {"ocr"},
	"cmd/tillproof": {"audit", "audit/letter", "cmd/intake", "money", "ocr", "ocr/fastjpeg", "ocr/join", "ocr/model", "ocr/worker", "parse", "plan", "plan/coupon", "plan/draft", "plan/merge", "plan/schema", "plan/split", "report", "report/planpage", "ledger", "ledger/state", "report/weekpage", "week", "report/overlay", "report/blackout", "report/packet", "audit/accuracy"},

	// Development only: nothing above may import these.
	"fixtures/till":            {"money", "plan"},
	"fixtures/trip":            {"fixtures/till", "money", "plan"},
	"fixtures/draw":            {},
	"fixtures/golden":          {},
	"fixtures/wear":            {"fixtures/draw"},
	"fixtures/other":           {"fixtures/till", "fixtures/trip", "money"},
	"fixtures/shoebox":         {"fixtures/other", "fixtures/till", "fixtures/trip", "plan"},
	"fixtures/shoebox/fill":    {"fixtures/draw", "fixtures/shoebox", "fixtures/wear"},
	"fixtures/shoebox/measure": {"fixtures/shoebox"},
	"fixtures/gen":             {"fixtures/draw", "fixtures/gen/cases", "fixtures/other", "fixtures/till", "fixtures/trip", "fixtures/wear", "money", "plan"},
	"fixtures/score":           {"audit", "fixtures/draw", "fixtures/gen/cases", "fixtures/score/measure", "fixtures/sim", "fixtures/till", "fixtures/trip", "fixtures/wear", "money", "ocr", "ocr/fastjpeg", "ocr/model", "ocr/worker", "parse", "plan"},
	"fixtures/sim":             {"audit", "fixtures/gen/cases", "fixtures/till", "fixtures/trip", "ocr", "parse", "plan"},
	"ocr/train":                {"fixtures/draw", "fixtures/wear", "fixtures/score/measure", "ocr", "ocr/fastjpeg", "ocr/model", "ocr/tesseract", "ocr/worker"},

	"fixtures/gen/cases":     {"fixtures/draw", "fixtures/till", "fixtures/trip", "fixtures/wear", "plan"},
	"fixtures/score/measure": {},
	"fixtures/wear/sheet":    {"fixtures/draw", "fixtures/wear"},
}

// pure are the packages that must one day run in a phone's browser: no files,
// network or clock, and no C.
var pure = []string{"money", "plan", "plan/coupon", "plan/draft", "plan/merge", "plan/schema", "plan/split", "ocr", "ocr/join", "ocr/lines", "ocr/paper", "ocr/raster", "parse", "parse/match", "audit", "audit/law", "audit/letter", "ledger/state", "week", "report", "report/planpage", "report/weekpage", "report/overlay", "report/blackout", "report/packet", "audit/accuracy"}

// impure are the parts of the standard library that a pure package has no use for.
var impure = []string{"os", "os/exec", "net", "net/http", "database/sql", "syscall", "C", "io/ioutil", "path/filepath"}

type goPackage struct {
	ImportPath string
	Imports    []string
}

func listPackages(t *testing.T) []goPackage {
	t.Helper()
	out, err := exec.Command("go", "list", "-json=ImportPath,Imports", "./...").Output()
	if err != nil {
		t.Fatal(err)
	}
	var all []goPackage
	dec := json.NewDecoder(strings.NewReader(string(out)))
	for {
		var p goPackage
		if err := dec.Decode(&p); errors.Is(err, io.EOF) {
			return all
		} else if err != nil {
			t.Fatal(err)
		}
		all = append(all, p)
	}
}

func TestImportDirections(t *testing.T) {
	for _, p := range listPackages(t) {
		name, ours := strings.CutPrefix(p.ImportPath, "tillproof/")
		if !ours {
			continue // the root holds only this test
		}
		allowed, listed := mayImport[name]
		if !listed {
			t.Errorf("%s is in no list of what may import what: add it to mayImport", name)
			continue
		}
		for _, imp := range p.Imports {
			if other, ours := strings.CutPrefix(imp, "tillproof/"); ours && !slices.Contains(allowed, other) {
				t.Errorf("%s may not import %s", name, other)
			}
			if slices.Contains(pure, name) && slices.Contains(impure, imp) {
				t.Errorf("%s may not import %s: it does no I/O", name, imp)
			}
		}
	}
}

func TestPurePackagesBuildForTheBrowser(t *testing.T) {
	args := []string{"build"}
	for _, p := range pure {
		args = append(args, "./"+p)
	}
	cmd := exec.Command("go", args...)
	cmd.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0")
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
}
