package main

import (
	"errors"
	"fmt"
	"path/filepath"

	"tillproof/money"
	"tillproof/plan"
	"tillproof/plan/split"
	"tillproof/report"
	"tillproof/report/planpage"

	"github.com/spf13/cobra"
)

// whatIf are the flags of price that ask what would be.
type whatIf struct {
	mine            string
	bestSplit, fill bool
	moreDays        int
}

// whatIfFlags adds the flags of w to price.
func whatIfFlags(cmd *cobra.Command, w *whatIf) {
	mineFlag(cmd, &w.mine)
	cmd.Flags().BoolVar(&w.bestSplit, "best-split", false, "divide the plan into the transactions that cost least in the end")
	cmd.Flags().BoolVar(&w.fill, "fill", false, "name the cheapest candidates that reach each threshold that is missed")
	moreDaysFlag(cmd, &w.moreDays)
}

func moreDaysFlag(cmd *cobra.Command, days *int) {
	cmd.Flags().IntVar(days, "more-days", 0, "let the best split also use so many `DAYS` after the plan's last, at the same prices")
}

// maxMoreDays keeps the search for a split from looking at years.
const maxMoreDays = 31

var errMoreDays = fmt.Errorf("--more-days takes a number from 0 to %d", maxMoreDays)

// pricePlans is what price does: one plan with what is asked of it, or several
// side by side.
func (a *app) pricePlans(w *whatIf, names []string) error {
	switch {
	case len(names) > 1 && (w.bestSplit || w.fill):
		return errors.New("--best-split and --fill take one plan; leave them out to compare plans")
	case w.moreDays < 0 || w.moreDays > maxMoreDays:
		return errMoreDays
	case w.moreDays > 0 && !w.bestSplit:
		return errors.New("--more-days says something only with --best-split")
	}
	var plans []*plan.Plan
	var bad []error
	for _, name := range names {
		p, _, err := a.loadPlanWith(name, w.mine)
		plans, bad = append(plans, p), append(bad, err)
	}
	if err := joinFaults(bad...); err != nil {
		return err
	}
	if len(plans) > 1 {
		return a.comparePlans(names, plans)
	}
	return a.priceOne(w, plans[0])
}

// pricedPlan is the result of price with what is asked beyond the bill.
type pricedPlan struct {
	*plan.Bill
	BestSplit *splitResult    `json:"best_split,omitempty"`
	Fill      *[]split.Filled `json:"fill,omitempty"`
}

// splitResult is the best split in the result: the bill beside it is that of
// the plan divided up.
type splitResult struct {
	Planned      money.Amount       `json:"planned"`
	Saves        money.Amount       `json:"saves"`
	Exact        bool               `json:"exact"`
	Why          string             `json:"why,omitempty"`
	Fewer        []fewerResult      `json:"fewer,omitempty"`
	Transactions []splitTransaction `json:"transactions"`
}

type fewerResult struct {
	Transactions int          `json:"transactions_per_day"`
	FinalCost    money.Amount `json:"final_cost"`
}

type splitTransaction struct {
	ID      string      `json:"id"`
	Date    plan.Date   `json:"date,omitzero"`
	PayWith []splitPay  `json:"pay_with"`
	Items   []splitItem `json:"items"`
}

type splitPay struct {
	Kind   string       `json:"kind"`
	Credit string       `json:"credit,omitempty"`
	Amount money.Amount `json:"amount,omitzero"`
}

type splitItem struct {
	Item     string `json:"item"`
	Quantity int    `json:"quantity"`
}

func (a *app) priceOne(w *whatIf, p *plan.Plan) error {
	var out pricedPlan
	if w.bestSplit {
		r := split.BestSplit(p, split.Options{MoreDays: w.moreDays})
		p, out.BestSplit = r.Plan, splitJSON(r)
		if !a.asJSON {
			a.result.WriteString(planpage.Split(r) + "\n")
		}
	}
	out.Bill = p.Price()
	if w.fill {
		list := split.Fill(p)
		out.Fill = &list
	}
	if a.asJSON {
		return a.printJSON(out)
	}
	a.result.WriteString(report.Bill(p, out.Bill))
	if w.fill {
		a.result.WriteString("\nThresholds that are missed\n\n" + planpage.Fill(p, *out.Fill))
	}
	return nil
}

func splitJSON(r split.Result) *splitResult {
	s := &splitResult{Planned: r.Planned.FinalCost, Saves: r.Saves, Exact: r.Exact, Why: r.Why}
	for _, f := range r.Fewer {
		s.Fewer = append(s.Fewer, fewerResult(f))
	}
	for i, tx := range r.Plan.Transactions {
		one := splitTransaction{ID: tx.ID, Date: r.Best.Transactions[i].Date}
		for _, pay := range tx.PayWith {
			with := splitPay{Kind: pay.Kind, Amount: pay.Amount}
			if pay.Credit != nil {
				with.Credit = pay.Credit.ID
			}
			one.PayWith = append(one.PayWith, with)
		}
		for _, it := range tx.Items {
			one.Items = append(one.Items, splitItem{it.ID, it.Quantity})
		}
		s.Transactions = append(s.Transactions, one)
	}
	return s
}

// comparePlans prints plans side by side.
func (a *app) comparePlans(names []string, plans []*plan.Plan) error {
	type filed struct {
		File string     `json:"file"`
		Bill *plan.Bill `json:"bill"`
	}
	var columns []planpage.Priced
	var files []filed
	taken := map[string]int{}
	for _, name := range names {
		taken[filepath.Base(name)]++
	}
	for i, p := range plans {
		short := filepath.Base(names[i])
		if taken[short] > 1 {
			short = fmt.Sprintf("%d %s", i+1, short)
		}
		bill := p.Price()
		columns = append(columns, planpage.Priced{Name: short, Plan: p, Bill: bill})
		files = append(files, filed{names[i], bill})
	}
	if a.asJSON {
		return a.printJSON(map[string]any{"version": 1, "plans": files})
	}
	a.result.WriteString(planpage.Compare(columns))
	return nil
}
