package main

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"tillproof/plan"
	"tillproof/report"

	"github.com/spf13/cobra"
)

func (a *app) priceCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "price PLAN",
		Short: "Work out what the till should do with a plan, step by step",
		Long: `Work out, to the cent, what the till should do with every transaction of a plan:
each price, deduction, credit and rebate with the sum it came from.

Exit codes: 0 done, 2 the plan cannot be used.`,
		Example: "  tillproof price trip.yaml\n  tillproof price --json trip.yaml",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			p, _, err := a.loadPlan(args[0])
			if err != nil {
				return err
			}
			bill := p.Price()
			if a.asJSON {
				return a.printJSON(bill)
			}
			_, err = io.WriteString(&a.result, report.Bill(p, bill))
			return err
		},
	}
}

// maxPlanBytes is above any plan a person writes, and what is read of a file
// before it is looked at.
const maxPlanBytes = 4 << 20

// loadPlan reads and validates a plan file, and returns its SHA-256.
func (a *app) loadPlan(name string) (*plan.Plan, string, error) {
	sources := map[string][]byte{}
	src, err := a.readFile(name, maxPlanBytes)
	if err != nil {
		return nil, "", err
	}
	sources[name] = src
	open := func(path string) ([]byte, error) {
		full := path
		if !filepath.IsAbs(path) {
			full = filepath.Join(filepath.Dir(name), path)
		}
		b, err := a.readFile(full, maxPlanBytes)
		sources[path] = b
		return b, err
	}
	p, err := plan.Load(src, name, open)
	var errs plan.Errors
	if errors.As(err, &errs) {
		return nil, "", planFault{errs, sources}
	} else if err != nil {
		return nil, "", err
	}
	sum := sha256.Sum256(src)
	return p, hex.EncodeToString(sum[:]), nil
}

// readFile reads a file, or standard input for "-", of at most limit bytes.
func (a *app) readFile(name string, limit int64) ([]byte, error) {
	in := a.in
	if name != "-" {
		f, err := os.Open(name)
		if err != nil {
			return nil, describe(name, err)
		}
		defer f.Close()
		in = f
	}
	b, err := io.ReadAll(io.LimitReader(in, limit+1))
	if err != nil {
		return nil, describe(name, err)
	}
	if int64(len(b)) > limit {
		return nil, fmt.Errorf("%s: is larger than %d MB, the most that is read; is it the right file?", name, limit>>20)
	}
	return b, nil
}
