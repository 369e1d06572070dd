package main

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"tillproof/audit"
	"tillproof/audit/accuracy"
	"tillproof/plan"
	"tillproof/report"

	"github.com/spf13/cobra"
)

// accuracyCaution is said wherever a store's accuracy is shown.
const accuracyCaution = "These are the items that you planned and bought, not a sample drawn at random, " +
	"and mostly far fewer than an inspection takes: they say something of your trips, and little of the store. " +
	"Whoever inspects prices where you live may want to hear of an overcharge all the same."

func (a *app) accuracyCommand() *cobra.Command {
	var plans []string
	cmd := &cobra.Command{
		Use:   "accuracy RESULT.json...",
		Short: "Count how often a store charges the price that it posts",
		Long: `Count, over many results that check --json printed, how often each store charged
the price that its label or advertisement gave: an item counts once a day, if its
plan says price_from: label or advert and the receipt's own sums prove what was
charged. Shown beside it: the 98% that inspections ask for (NIST Handbook 130),
and the rules of North Carolina and New York.

Exit codes: 0 done, 2 bad input.`,
		Example: `  tillproof accuracy results/*.json
  tillproof accuracy --plan old/trip.yaml results/*.json --json`,
		Args: atLeastOne("results of checks"),
		RunE: func(_ *cobra.Command, args []string) error { return a.accuracy(args, plans) },
	}
	cmd.Flags().StringArrayVar(&plans, "plan", nil, "a plan `file` that is no longer where the check read it; may be given several times")
	return cmd
}

func (a *app) accuracy(names, planFiles []string) error {
	bySum := map[string]*plan.Plan{}
	var bad faults
	for _, f := range planFiles {
		p, sum, err := a.loadPlan(f)
		if err != nil {
			bad = append(bad, err)
			continue
		}
		bySum[sum] = p
	}
	var checks []accuracy.Check
	left := 0 // results that say nothing of posted prices
	for _, name := range names {
		r, err := a.loadResult(name)
		if err == nil {
			var p *plan.Plan
			if p, err = a.planOf(r, bySum); err == nil {
				found := accuracy.From(p, r)
				if len(found) == 0 {
					left++
				}
				checks = append(checks, found...)
			}
		}
		if err != nil {
			bad = append(bad, err)
		}
	}
	if bad != nil {
		return joinFaults(bad)
	}
	tallies := accuracy.Count(checks)
	if a.asJSON {
		if tallies == nil {
			tallies = []accuracy.Tally{}
		}
		return a.printJSON(struct {
			Version int              `json:"version"`
			Results int              `json:"results"`
			Silent  int              `json:"results_without_posted_prices"`
			Stores  []accuracy.Tally `json:"stores"`
			Caution string           `json:"caution"`
		}{1, len(names), left, tallies, accuracyCaution})
	}
	a.printTallies(tallies, left)
	return nil
}

// planOf is the plan that a result was made with, told by its hash.
func (a *app) planOf(r *audit.Result, bySum map[string]*plan.Plan) (*plan.Plan, error) {
	if p := bySum[r.Plan.SHA256]; p != nil {
		return p, nil
	}
	p, sum, err := a.loadPlan(r.Plan.File)
	if err != nil {
		return nil, err
	}
	if sum != r.Plan.SHA256 {
		return nil, fmt.Errorf("%s: is not the plan that was checked, or has changed since; check again, or name the right one with --plan", r.Plan.File)
	}
	bySum[sum] = p
	return p, nil
}

func (a *app) printTallies(tallies []accuracy.Tally, left int) {
	para := func(mark, s string) {
		indent := strings.Repeat(" ", utf8.RuneCountInString(mark))
		for i, l := range report.Wrap(s, 80-len(indent)) {
			if i > 0 {
				mark = indent
			}
			fmt.Fprintln(&a.result, mark+l)
		}
	}
	for _, t := range tallies {
		para("", fmt.Sprintf("%s, %s", t.Store, span(t.From, t.Through)))
		verdict := "at least the 98% that inspections ask for"
		if !t.Accurate {
			verdict = "below the 98% that inspections ask for"
		}
		para("  ", fmt.Sprintf("%d items checked, %s right: %s", t.Items, t.Accuracy, verdict))
		ratio := ""
		if t.Ratio != "" {
			ratio = ", " + t.Ratio + " to 1"
		}
		para("  ", fmt.Sprintf("%d overcharged, %s in all; %d undercharged, %s%s", t.Overcharges, t.Over, t.Undercharges, t.Under, ratio))
		for _, c := range t.Errors {
			para("    - ", fmt.Sprintf("%s %s: posted %s, charged %s", c.Day, c.Name, c.Posted, c.Charged))
		}
		for _, r := range t.Rules {
			state := "within"
			switch {
			case r.TooFew:
				state = "too few to say"
			case r.Exceeded:
				state = "OVER"
			}
			para("  ", fmt.Sprintf("%s, %s: %s", r.Jurisdiction, state, r.Text))
		}
		fmt.Fprintln(&a.result)
	}
	if len(tallies) == 0 {
		para("", "No result proves what was charged for an item whose price was seen on a label or in an advertisement (price_from in the plan).")
	} else if left > 0 {
		para("", fmt.Sprintf("Results that prove no posted price, and are not counted: %d", left))
	}
	if len(tallies) > 0 {
		para("", accuracyCaution)
	}
}

// span names a run of days.
func span(from, through string) string {
	switch {
	case from == "":
		return "days not read"
	case from == through:
		return from
	}
	return from + " to " + through
}
