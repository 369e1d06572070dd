package main

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"tillproof/audit"
	"tillproof/audit/accuracy"
	"tillproof/ledger"
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
	var file, from, through string
	cmd := &cobra.Command{
		Use:   "accuracy [RESULT.json...]",
		Short: "Count how often a store charges the price that it posts",
		Long: `Count, over all receipts in the ledger or over results that check --json printed,
how often each store charged the price that its label or advertisement gave: an
item counts once a day, if its plan says price_from: label or advert and the
receipt's own sums prove what was charged. Shown beside it: the 98% that
inspections ask for (NIST Handbook 130), and the rules of North Carolina and New
York.

Exit codes: 0 done, 2 bad input.`,
		Example: `  tillproof accuracy
  tillproof accuracy --from 2026-01-01 --through 2026-03-31
  tillproof accuracy results/*.json
  tillproof accuracy --plan old/trip.yaml results/*.json --json`,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				if file != "" || from != "" || through != "" {
					return errors.New("--ledger, --from and --through are for the ledger: leave them out, or name no results")
				}
				return a.accuracy(args, plans)
			}
			if plans != nil {
				return errors.New("--plan is for results that are named: name them, or leave it out and look into the ledger")
			}
			span, err := spanOf(from, through)
			if err != nil {
				return err
			}
			l, err := lookIn(file)
			if err != nil {
				return err
			}
			defer l.Close()
			return a.accuracyToDate(cmd.Context(), l, span)
		},
	}
	cmd.Flags().StringArrayVar(&plans, "plan", nil, "a plan `file` that is no longer where the check read it; may be given several times")
	cmd.Flags().StringVar(&from, "from", "", "in the ledger: the first `DATE`")
	cmd.Flags().StringVar(&through, "through", "", "in the ledger: the last `DATE`")
	ledgerFlag(cmd, &file)
	return cmd
}

// spanOf reads the first and last day of a span, which is open where one is not
// given.
func spanOf(from, through string) (s plan.Span, err error) {
	if from != "" {
		if s.From, err = plan.ParseDate(from); err != nil {
			return s, fmt.Errorf("--from: %w", err)
		}
	}
	if through != "" {
		if s.Through, err = plan.ParseDate(through); err != nil {
			return s, fmt.Errorf("--through: %w", err)
		}
	}
	if !s.From.IsZero() && !s.Through.IsZero() && s.Through.Before(s.From) {
		return s, fmt.Errorf("--through %s is before --from %s: swap them", s.Through, s.From)
	}
	return s, nil
}

// accuracyToDate is accuracy over the ledger's results. One whose plan has
// changed since says nothing, until tillproof week has looked at it again.
func (a *app) accuracyToDate(ctx context.Context, l *ledger.Ledger, span plan.Span) error {
	kept, err := l.Plans(ctx)
	if err != nil {
		return err
	}
	parsed, err := a.parsePlans(ctx, l, kept)
	if err != nil {
		return err
	}
	bySum := map[string]*plan.Plan{}
	for _, p := range parsed {
		bySum[p.SHA256] = p.Plan
	}
	var c counting
	err = l.EachResult(ctx, span, func(r *audit.Result) error {
		c.results++
		if p := bySum[r.Plan.SHA256]; p != nil {
			c.add(p, r)
		} else {
			c.changed++
		}
		return nil
	})
	if err != nil {
		return err
	}
	return a.printAccuracy(&c)
}

// counting is what results say of posted prices.
type counting struct {
	checks  []accuracy.Check
	results int
	silent  int // results that say nothing of them
	changed int // results whose plan is not known any more as it was
}

func (c *counting) add(p *plan.Plan, r *audit.Result) {
	found := accuracy.From(p, r)
	if len(found) == 0 {
		c.silent++
	}
	c.checks = append(c.checks, found...)
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
	c := counting{results: len(names)}
	for _, name := range names {
		r, err := a.loadResult(name)
		if err == nil {
			var p *plan.Plan
			if p, err = a.planOf(r, bySum); err == nil {
				c.add(p, r)
			}
		}
		if err != nil {
			bad = append(bad, err)
		}
	}
	if bad != nil {
		return joinFaults(bad)
	}
	return a.printAccuracy(&c)
}

func (a *app) printAccuracy(c *counting) error {
	tallies := accuracy.Count(c.checks)
	if a.asJSON {
		if tallies == nil {
			tallies = []accuracy.Tally{}
		}
		return a.printJSON(struct {
			Version int              `json:"version"`
			Results int              `json:"results"`
			Silent  int              `json:"results_without_posted_prices"`
			Changed int              `json:"results_of_changed_plans,omitempty"`
			Stores  []accuracy.Tally `json:"stores"`
			Caution string           `json:"caution"`
		}{1, c.results, c.silent, c.changed, tallies, accuracyCaution})
	}
	a.printTallies(tallies, c.silent)
	if c.changed > 0 {
		a.para("", fmt.Sprintf("Results whose plan has changed since, and are not counted: %d; tillproof week on their folder checks them again.", c.changed))
	}
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
	para := a.para
	for _, t := range tallies {
		para("", fmt.Sprintf("%s, %s", t.Store, daysOf(t.From, t.Through)))
		items := "items"
		if t.Items == 1 {
			items = "item"
		}
		verdict := "at least the 98% that inspections ask for"
		if !t.Accurate {
			verdict = "below the 98% that inspections ask for"
		}
		para("  ", fmt.Sprintf("%d %s checked, %s right: %s", t.Items, items, t.Accuracy, verdict))
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

// para prints s behind a mark, in 80 columns.
func (a *app) para(mark, s string) {
	indent := strings.Repeat(" ", utf8.RuneCountInString(mark))
	for i, l := range report.Wrap(s, 80-len(indent)) {
		if i > 0 {
			mark = indent
		}
		fmt.Fprintln(&a.result, mark+l)
	}
}

// daysOf names a run of days.
func daysOf(from, through string) string {
	switch {
	case from == "":
		return "days not read"
	case from == through:
		return from
	}
	return from + " to " + through
}
