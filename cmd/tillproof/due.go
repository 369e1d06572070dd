package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"tillproof/ledger"
	"tillproof/ledger/state"
	"tillproof/money"
	"tillproof/plan"
	"tillproof/report/weekpage"
	"tillproof/week"

	"github.com/spf13/cobra"
)

// now is the clock, which only commands ask.
var now = time.Now

// dueFlags are the flags of tillproof due.
type dueFlags struct {
	ledger, ics, on, note string
	marks                 []string
	anyway                bool
}

func (a *app) dueCommand() *cobra.Command {
	var f dueFlags
	cmd := &cobra.Command{
		Use:   "due",
		Short: "List what is still owed and until when, and mark what was done",
		Long: `List the credits and rebates that are not settled, by their last day. --mark books
what was done: submitted, paid, used, refused, expired, or reopened where a mark
was a mistake; paid:2.00 and used:2.00 book a part. For a finding: asked,
refunded, refused, dropped or reopened. Before a claim is marked submitted, it is
checked that whoever pays can read the photo.

Exit codes: 0 done; 2 bad input; 3 not marked, the photo is not legible enough.`,
		Example: `  tillproof due
  tillproof due --ics due.ics
  tillproof due --mark d4f1c2d3e5a6=submitted --note "confirmation 7731"
  tillproof due --mark d4f1c=paid:2.00`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, args []string) error { return a.due(cmd.Context(), &f) },
	}
	cmd.Flags().StringVar(&f.ics, "ics", "", "also write the last days as a calendar (RFC 5545) to `FILE`")
	cmd.Flags().StringArrayVar(&f.marks, "mark", nil, "`ID=STATE`: book what was done; may be given several times")
	cmd.Flags().StringVar(&f.note, "note", "", "a confirmation number, the answer or the reason, kept with the marks")
	cmd.Flags().StringVar(&f.on, "on", "", "the `DATE` of the marks, and the day to look from; without it today")
	cmd.Flags().BoolVar(&f.anyway, "anyway", false, "mark as submitted although the photo is not legible enough")
	ledgerFlag(cmd, &f.ledger)
	return cmd
}

func (a *app) due(ctx context.Context, f *dueFlags) error {
	today, err := a.today(f.on)
	if err != nil {
		return fmt.Errorf("--on: %w", err)
	}
	marks, err := readMarks(f.marks, today, f.note)
	if err != nil {
		return err
	}
	l, err := lookIn(f.ledger)
	if err != nil {
		return err
	}
	defer l.Close()
	if err := a.mark(ctx, l, marks, f.anyway); err != nil {
		return err
	}
	if err := l.Expire(ctx, today); err != nil {
		return err
	}
	if f.ics == "" && !a.asJSON {
		return a.listDues(ctx, l, today)
	}
	owed := []weekpage.Owed{}
	if err := l.EachOpenDue(ctx, func(d *ledger.Due) { owed = append(owed, owedOf(d)) }); err != nil {
		return err
	}
	if f.ics != "" {
		if err := os.WriteFile(f.ics, []byte(weekpage.ICS(deadlines(owed), now())), 0o644); err != nil {
			return fmt.Errorf("%s: cannot be written: %w", f.ics, err)
		}
	}
	if a.asJSON {
		return a.printJSON(struct {
			Version int             `json:"version"`
			On      plan.Date       `json:"on"`
			Due     []weekpage.Owed `json:"due"`
		}{1, today, owed})
	}
	_, err = io.WriteString(&a.result, weekpage.Due(owed, today))
	return err
}

// listDues prints what is owed, some at a time: of a large ledger it is much.
func (a *app) listDues(ctx context.Context, l *ledger.Ledger, today plan.Date) error {
	const some = 500
	owed := make([]weekpage.Owed, 0, some)
	text := weekpage.Due // with the line that names the columns, the first time
	flush := func() {
		a.result.WriteString(text(owed, today))
		text, owed = weekpage.DueRows, owed[:0]
	}
	err := l.EachOpenDue(ctx, func(d *ledger.Due) {
		if owed = append(owed, owedOf(d)); len(owed) == some {
			flush()
		}
	})
	flush()
	return err
}

func owedOf(d *ledger.Due) weekpage.Owed {
	return weekpage.Owed{Due: week.Due{ID: d.ID, Receipt: d.Receipt, Claim: d.Claim}, Store: d.Store, Date: d.Date}
}

// deadlines are the dues that can still be missed.
func deadlines(owed []weekpage.Owed) (all []weekpage.Deadline) {
	for _, o := range owed {
		if o.By.IsZero() || o.State == state.Submitted || o.State == state.Refused || o.Kind == state.Rebate && o.State == state.PaidInPart {
			continue
		}
		do := "use it"
		if o.Kind == state.Rebate {
			do = "send the claim in"
		}
		detail := fmt.Sprintf("%s: %s left. By %s %s.\nReceipt: %s\ntillproof id: %s", o.Title, o.Left(), o.By, do, strings.TrimSpace(o.Store+" "+o.Date), o.ID)
		if o.ClaimTo != "" {
			detail += "\nClaim from: " + o.ClaimTo
		}
		all = append(all, weekpage.Deadline{ID: o.ID, Title: o.Title + " (" + o.Left().String() + ")", Detail: detail, Day: o.By})
	}
	return all
}

// readMarks reads ID=STATE and ID=STATE:AMOUNT.
func readMarks(args []string, day plan.Date, note string) ([]ledger.Marking, error) {
	var all []ledger.Marking
	var bad faults
	for _, arg := range args {
		id, to, ok := strings.Cut(arg, "=")
		if !ok || id == "" || to == "" {
			bad = append(bad, fmt.Errorf("--mark %q: write ID=STATE, like d4f1c2d3e5a6=submitted", arg))
			continue
		}
		m := ledger.Marking{Prefix: id, Event: state.Event{Date: day, Note: note}}
		word, amount, given := strings.Cut(to, ":")
		m.Event.To = state.State(strings.ReplaceAll(word, "-", " "))
		if given {
			var err error
			if m.Event.Amount, err = money.Parse(amount); err != nil {
				bad = append(bad, fmt.Errorf("--mark %q: %w", arg, err))
				continue
			}
		}
		all = append(all, m)
	}
	if bad != nil {
		return nil, bad
	}
	return all, nil
}

// mark books marks, after it was looked whether claims can be read.
func (a *app) mark(ctx context.Context, l *ledger.Ledger, marks []ledger.Marking, anyway bool) error {
	for _, m := range marks {
		due, _, err := l.Find(ctx, m.Prefix)
		if err != nil {
			return err
		}
		if due != nil && m.Event.Amount.Cmp(due.Left()) > 0 {
			fmt.Fprintf(a.err, "tillproof: note: %s: %s is more than the %s that was left; where that is a slip, mark it reopened\n", due.ID, m.Event.Amount, due.Left())
		}
		if due == nil || m.Event.To != state.Submitted {
			continue
		}
		unclear, err := legible(ctx, l, due)
		if err != nil {
			return err
		}
		if unclear == nil {
			continue
		}
		text := strings.Join(unclear, "; ")
		if !anyway {
			return unreadableError{fmt.Sprintf("%s was not marked: whoever pays may refuse it, %s. Photograph the receipt again, all of it; or mark it with --anyway", due.ID, text)}
		}
		fmt.Fprintf(a.err, "tillproof: note: %s: %s\n", due.ID, text)
	}
	if err := l.MarkAll(ctx, marks); err != nil {
		return err
	}
	return a.tellMarked(ctx, l, marks)
}

// tellMarked says what was marked as what: what is settled is in no list any more.
func (a *app) tellMarked(ctx context.Context, l *ledger.Ledger, marks []ledger.Marking) error {
	for _, m := range marks {
		due, finding, err := l.Find(ctx, m.Prefix)
		switch {
		case err != nil:
			return err
		case due != nil:
			fmt.Fprintf(a.err, "tillproof: note: %s, %s, is now %s\n", due.ID, due.Title, due.State)
		case finding != nil:
			fmt.Fprintf(a.err, "tillproof: note: %s, %s, is now %s\n", finding.ID, finding.Title, finding.State)
		}
	}
	return nil
}

// legible is what cannot be read on the photos of a due's receipt.
func legible(ctx context.Context, l *ledger.Ledger, d *ledger.Due) ([]string, error) {
	_, result, err := l.Result(ctx, d.Receipt)
	if err != nil {
		return []string{"its receipt is not in the ledger any more"}, nil
	}
	if result == nil || result.Receipt == nil {
		return []string{"nothing was read of its receipt"}, nil
	}
	var pages []week.PageSize
	seen := map[string]bool{}
	for _, p := range result.Receipt.Photos {
		if seen[p.SHA256] {
			continue
		}
		seen[p.SHA256] = true
		photo, err := l.Photo(ctx, p.SHA256)
		if err != nil {
			return nil, err
		}
		if photo == nil {
			continue
		}
		for _, page := range photo.Pages {
			size := week.PageSize{W: page.Width, H: page.Height}
			if page.Text {
				size = week.PageSize{}
			}
			pages = append(pages, size)
		}
	}
	return week.Legible(result.Receipt, d.Lines, pages), nil
}
