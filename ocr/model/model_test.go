package model

import (
	"encoding/binary"
	"strings"
	"testing"
)

// Numbers of the components in a traineddata file, from Tesseract's
// src/ccutil/tessdatamanager.h (enum TessdataType).
const (
	network    = 17
	punctuator = 18 // this and the next two are dictionaries
	numbers    = 20
	unicharset = 21
	recoder    = 22
)

// components takes the model apart: a count, an offset for each component or
// -1, and then the components one after the other.
func components(t *testing.T, data []byte) map[int][]byte {
	t.Helper()
	n := int(binary.LittleEndian.Uint32(data))
	if n <= recoder || n > 64 {
		t.Fatalf("%d components: not a traineddata file", n)
	}
	out := map[int][]byte{}
	end := len(data)
	for i := n - 1; i >= 0; i-- {
		at := int(int64(binary.LittleEndian.Uint64(data[4+8*i:])))
		if at < 0 {
			continue
		}
		if at > end {
			t.Fatalf("component %d begins at %d, behind %d", i, at, end)
		}
		out[i], end = data[at:end], at
	}
	return out
}

func TestModelIsSmallAndComplete(t *testing.T) {
	if n := len(Default()); n < 100_000 || n >= 1_000_000 {
		t.Fatalf("the model has %d bytes, want some hundred thousand", n)
	}
	parts := components(t, Default())
	for _, want := range []int{network, unicharset, recoder} {
		if len(parts[want]) == 0 {
			t.Errorf("component %d is missing", want)
		}
	}
	for i := punctuator; i <= numbers; i++ {
		if len(parts[i]) > 0 {
			t.Errorf("component %d is a dictionary, which spoils shortened names", i)
		}
	}
	if net := string(parts[network]); !strings.Contains(net, "[1,36,0,1") {
		t.Error("the network should take lines 36 pixels high")
	}
}

// Tills print ASCII; ^ and ` do not occur and the English model has neither.
func TestModelKnowsWhatTillsPrint(t *testing.T) {
	known := map[string]bool{}
	for line := range strings.Lines(string(components(t, Default())[unicharset])) {
		c, _, _ := strings.Cut(line, " ")
		known[c] = true
	}
	for r := '!'; r <= '~'; r++ {
		if r != '^' && r != '`' && !known[string(r)] {
			t.Errorf("the model cannot write %q", r)
		}
	}
}
