package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"tillproof/audit"
	"tillproof/ledger"
	"tillproof/ledger/state"
	"tillproof/plan"
	"tillproof/report"

	"github.com/spf13/cobra"
	"go.yaml.in/yaml/v4"
)

func (a *app) ledgerCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "ledger",
		Short: "Look into the ledger: receipts, claims, learnt names",
		Long: `Look into the ledger, in which tillproof week keeps what it read and what came of
it. What is owed, tillproof due lists.`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			return errors.New("say what to look at: report, show or names")
		},
	}
	cmd.AddCommand(a.ledgerReportCommand(), a.ledgerShowCommand(), a.ledgerNamesCommand())
	return cmd
}

func (a *app) ledgerReportCommand() *cobra.Command {
	var file, from, through string
	cmd := &cobra.Command{
		Use:     "report",
		Short:   "Add up the receipts and findings of some days",
		Long:    "Add up the receipts and findings of some days, the last seven without flags, and the\nmoney found and recovered to date.\n\nExit codes: 0 done, 2 bad input.",
		Example: "  tillproof ledger report\n  tillproof ledger report --from 2026-05-01 --through 2026-05-31",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			span, err := a.span(from, through)
			if err != nil {
				return err
			}
			l, err := lookIn(file)
			if err != nil {
				return err
			}
			defer l.Close()
			return a.ledgerReport(cmd.Context(), l, span)
		},
	}
	cmd.Flags().StringVar(&from, "from", "", "the first `DATE`")
	cmd.Flags().StringVar(&through, "through", "", "the last `DATE`")
	ledgerFlag(cmd, &file)
	return cmd
}

// span reads the days of a report; the last seven where none are given.
func (a *app) span(from, through string) (plan.Span, error) {
	s, err := spanOf(from, through)
	if err == nil && s.Through.IsZero() {
		if s.Through, err = a.today(""); !s.From.IsZero() && s.Through.Before(s.From) {
			return s, fmt.Errorf("--from %s is still to come", s.From)
		}
	}
	if s.From.IsZero() {
		s.From = s.Through.AddDays(-6)
	}
	return s, err
}

// ledgerSums is a report for a program.
type ledgerSums struct {
	Version  int              `json:"version"`
	From     plan.Date        `json:"from"`
	Through  plan.Date        `json:"through"`
	Receipts int              `json:"receipts"`
	Short    int              `json:"short"`
	Findings []ledger.Finding `json:"findings"`
	ToDate   ledger.Totals    `json:"to_date"`
}

func (a *app) ledgerReport(ctx context.Context, l *ledger.Ledger, span plan.Span) error {
	rs, err := l.Receipts(ctx, span)
	if err != nil {
		return err
	}
	sums := ledgerSums{Version: 1, From: span.From, Through: span.Through, Receipts: len(rs), Findings: []ledger.Finding{}}
	for _, r := range rs {
		if r.Verdict == string(audit.Short) {
			sums.Short++
		}
	}
	found, err := l.Findings(ctx, span)
	if err != nil {
		return err
	}
	sums.Findings = append(sums.Findings, found...)
	if sums.ToDate, err = l.Totals(ctx); err != nil {
		return err
	}
	if a.asJSON {
		return a.printJSON(sums)
	}
	fmt.Fprintf(&a.result, "%s to %s: %d receipts, %d of them short.\n", span.From, span.Through, sums.Receipts, sums.Short)
	for _, f := range sums.Findings {
		a.row(f.ID, fmt.Sprintf("%s %s (%s, %s), %s", f.Date, f.Title, f.Kind, f.Store, f.State), f.Lost.Neg().Signed())
	}
	t := sums.ToDate
	a.para("", fmt.Sprintf("To date: %s found missing, %s of it refunded; %s of credits and rebates received, %s still out.", t.Found, t.Refunded, t.Received, t.Owed))
	return nil
}

// row prints an id, wrapped text and an amount at the right edge.
func (a *app) row(id, text, amount string) {
	const textWidth = 54
	lines := report.Wrap(text, textWidth)
	for i, line := range lines {
		head, right := "", ""
		if i == 0 {
			head = id
		}
		if i == len(lines)-1 {
			right = amount
		}
		fmt.Fprintln(&a.result, strings.TrimRight(fmt.Sprintf("%-13s  %-*s %9s", head, textWidth, line, right), " "))
	}
}

func (a *app) ledgerShowCommand() *cobra.Command {
	var file string
	cmd := &cobra.Command{
		Use:   "show ID",
		Short: "Show a receipt's result, or a claim with its history",
		Long: `Show the result of a receipt (with --json the very result that check gives, for
tillproof packet and other programs), or a credit, rebate or finding with all that
was done about it. The id may be shortened.

Exit codes: 0 done, 2 there is no such thing.`,
		Example: "  tillproof ledger show r4f1c2d3e5a6\n  tillproof ledger show --json r4f1c > result.json",
		Args:    justOne("the ID of a receipt"),
		RunE: func(cmd *cobra.Command, args []string) error {
			l, err := lookIn(file)
			if err != nil {
				return err
			}
			defer l.Close()
			if strings.HasPrefix(args[0], "r") {
				return a.showReceipt(cmd.Context(), l, args[0])
			}
			return a.showClaim(cmd.Context(), l, args[0])
		},
	}
	ledgerFlag(cmd, &file)
	return cmd
}

func (a *app) showReceipt(ctx context.Context, l *ledger.Ledger, id string) error {
	r, result, err := l.Result(ctx, id)
	if err != nil {
		return err
	}
	if result == nil {
		return fmt.Errorf("%s is of no plan, so it has no result", r.ID)
	}
	if a.asJSON {
		return a.printJSON(result)
	}
	p := &plan.Plan{} // names of items and offers, where the plan is still known
	known, err := l.Folders(ctx)
	if err != nil {
		return err
	}
	for _, f := range known {
		for _, file := range f.Plans {
			if file != result.Plan.File && !strings.HasSuffix(file, "/"+result.Plan.File) {
				continue
			}
			kept, err := l.Plan(ctx, file)
			if err != nil {
				return err
			}
			if kept == nil || kept.SHA256 != result.Plan.SHA256 {
				continue
			}
			plans, err := a.parsePlans(ctx, l, []ledger.PlanFile{*kept})
			if err != nil {
				return err
			}
			p = plans[0].Plan
		}
	}
	_, err = io.WriteString(&a.result, report.Result(p, result))
	return err
}

func (a *app) showClaim(ctx context.Context, l *ledger.Ledger, id string) error {
	due, finding, err := l.Find(ctx, id)
	if err != nil {
		return err
	}
	full := ""
	if due != nil {
		full = due.ID
	} else {
		full = finding.ID
	}
	events, err := l.History(ctx, full)
	if err != nil {
		return err
	}
	if a.asJSON {
		return a.printJSON(struct {
			Version int             `json:"version"`
			Due     *ledger.Due     `json:"due,omitempty"`
			Finding *ledger.Finding `json:"finding,omitempty"`
			History []state.Event   `json:"history"`
		}{1, due, finding, append([]state.Event{}, events...)})
	}
	if due != nil {
		a.row(due.ID, fmt.Sprintf("%s: %s, %s, receipt %s", due.Title, due.What, due.State, due.Receipt), due.Value.String())
	} else {
		a.row(finding.ID, fmt.Sprintf("%s: %s, %s, receipt %s", finding.Title, finding.Kind, finding.State, finding.Receipt), finding.Lost.Neg().Signed())
	}
	for _, e := range events {
		amount := ""
		if !e.Amount.IsZero() {
			amount = e.Amount.String()
		}
		a.row("  "+e.Date.String(), strings.TrimSpace(string(e.To)+" "+e.Note), amount)
	}
	return nil
}

func (a *app) ledgerNamesCommand() *cobra.Command {
	var file, store string
	cmd := &cobra.Command{
		Use:   "names [--store NAME]",
		Short: "Print the names that tills print, as they were confirmed",
		Long: `Print what was confirmed that a store's till prints for items, in the form of a
store file's names. Add it to the store file to use it elsewhere; on this machine
it is used already.

Exit codes: 0 done, 2 there are none.`,
		Example: "  tillproof ledger names --store \"Harbor Lane Market\" >> stores/harbor-lane.yaml",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			l, err := lookIn(file)
			if err != nil {
				return err
			}
			defer l.Close()
			names, err := l.Names(cmd.Context(), store)
			if err != nil {
				return err
			}
			if len(names) == 0 {
				return errors.New("no name was confirmed yet: tillproof answer --all asks for them")
			}
			if a.asJSON {
				return a.printJSON(struct {
					Version int           `json:"version"`
					Names   []ledger.Name `json:"names"`
				}{1, names})
			}
			return a.printNames(names)
		},
	}
	cmd.Flags().StringVar(&store, "store", "", "of this store only: its `NAME`")
	ledgerFlag(cmd, &file)
	return cmd
}

// printNames prints names as a store file has them, one document a store.
func (a *app) printNames(names []ledger.Name) error {
	var stores []string
	by := map[string]map[string][]string{}
	for _, n := range names {
		if by[n.Store] == nil {
			by[n.Store] = map[string][]string{}
			stores = append(stores, n.Store)
		}
		by[n.Store][n.Item] = append(by[n.Store][n.Item], n.Text)
	}
	slices.Sort(stores)
	for i, s := range stores {
		if len(stores) > 1 {
			if i > 0 {
				a.result.WriteString("---\n")
			}
			fmt.Fprintf(&a.result, "# %s\n", strings.Join(strings.Fields(s), " "))
		}
		b, err := yaml.Marshal(map[string]any{"names": by[s]})
		if err != nil {
			return err
		}
		a.result.Write(b)
	}
	return nil
}
