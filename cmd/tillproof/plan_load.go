package main

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"path/filepath"

	"tillproof/plan"
	"tillproof/plan/merge"

	"github.com/spf13/cobra"
)

// mineFlag lets a command take a reader's own plan file over the plan.
func mineFlag(cmd *cobra.Command, mine *string) {
	cmd.Flags().StringVar(mine, "mine", "", "lay a plan `FILE` of your own, that holds only what differs, over the plan")
}

// loadPlanWith is loadPlan with a plan file of one's own laid over it; mine ""
// is none. The hash is the plan's.
func (a *app) loadPlanWith(name, mine string) (*plan.Plan, string, error) {
	if mine == "" {
		return a.loadPlan(name)
	}
	if name == "-" && mine == "-" {
		return nil, "", errors.New("only one of the plan and --mine can come from standard input")
	}
	src, err := a.readFile(name, maxPlanBytes)
	own, err2 := a.readFile(mine, maxPlanBytes)
	if err != nil || err2 != nil {
		return nil, "", joinFaults(err, err2)
	}
	sources := map[string][]byte{name: src, mine: own}
	p, err := merge.Load(
		merge.Source{File: name, Src: src, Open: a.storeOpener(name, sources)},
		merge.Source{File: mine, Src: own, Open: a.storeOpener(mine, sources)})
	return loaded(p, err, src, sources)
}

// loaded is what loading came to: the plan and the SHA-256 of its file src, or
// its faults with the texts that they are in.
func loaded(p *plan.Plan, err error, src []byte, sources map[string][]byte) (*plan.Plan, string, error) {
	var errs plan.Errors
	if errors.As(err, &errs) {
		return nil, "", planFault{errs, sources}
	} else if err != nil {
		return nil, "", err
	}
	sum := sha256.Sum256(src)
	return p, hex.EncodeToString(sum[:]), nil
}

// storeOpener reads store files from beside the plan file name, and keeps their
// text in sources for errors to show.
func (a *app) storeOpener(name string, sources map[string][]byte) func(path string) ([]byte, error) {
	return func(path string) ([]byte, error) {
		full := path
		if !filepath.IsAbs(path) {
			full = filepath.Join(filepath.Dir(name), path)
		}
		b, err := a.readFile(full, maxPlanBytes)
		sources[path] = b
		return b, err
	}
}
