package main

import (
	"fmt"
	"io"
	"os"

	"tillproof/plan"

	"github.com/spf13/cobra"
)

func (a *app) priceCommand() *cobra.Command {
	var w whatIf
	cmd := &cobra.Command{
		Use:   "price PLAN...",
		Short: "Work out what the till should do with a plan, step by step",
		Long: `Work out, to the cent, what the till should do with every transaction of a plan:
each price, deduction, credit and rebate with the sum it came from. Several plans
are compared side by side.

Exit codes: 0 done, 2 a plan cannot be used.`,
		Example: `  tillproof price trip.yaml
  tillproof price --json trip.yaml
  tillproof price --mine my-prices.yaml trip.yaml
  tillproof price --best-split trip.yaml
  tillproof price one-way.yaml other-way.yaml`,
		Args: atLeastOne("a plan file"),
		RunE: func(_ *cobra.Command, args []string) error { return a.pricePlans(&w, args) },
	}
	whatIfFlags(cmd, &w)
	return cmd
}

// maxPlanBytes is above any plan a person writes, and what is read of a file
// before it is looked at.
const maxPlanBytes = 4 << 20

// loadPlan reads and validates a plan file, and returns its SHA-256.
func (a *app) loadPlan(name string) (*plan.Plan, string, error) {
	src, err := a.readFile(name, maxPlanBytes)
	if err != nil {
		return nil, "", err
	}
	sources := map[string][]byte{name: src}
	p, err := plan.Load(src, name, a.storeOpener(name, sources))
	return loaded(p, err, src, sources)
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
