package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"

	"tillproof/audit"
	"tillproof/ledger"
	"tillproof/report/weekpage"
	"tillproof/week"

	"github.com/spf13/cobra"
)

// weekFlags are the flags of tillproof week.
type weekFlags struct {
	plans, ledger, html string
	csv, keep           bool
}

func (a *app) weekCommand() *cobra.Command {
	var f weekFlags
	cmd := &cobra.Command{
		Use:   "week FOLDER --plans FOLDER",
		Short: "Review a folder of receipts against a folder of plans",
		Long: `Read every photo of a folder, find out which belong together, which show the same
receipt and which planned transaction each is of, and check them all. What cannot
be decided is asked: see tillproof answer. What was read is kept in the ledger, so
that a run that was stopped goes on where it was.

Exit codes: 0 nothing is short; 1 something is; 2 bad input; 3 nothing is short for
sure, and something is undecided or asked.`,
		Example: `  tillproof week shoebox --plans plans
  tillproof week shoebox --plans plans --html week.html
  tillproof week shoebox --plans plans --csv > week.csv`,
		Args: justOne("the folder with the photos"),
		RunE: func(cmd *cobra.Command, args []string) error { return a.week(cmd.Context(), args[0], &f) },
	}
	cmd.Flags().StringVar(&f.plans, "plans", "", "the `FOLDER` of the plans, or one plan file (required)")
	cmd.Flags().BoolVar(&f.csv, "csv", false, "print the receipts as CSV (RFC 4180)")
	cmd.Flags().StringVar(&f.html, "html", "", "also write the week as a page with charts to `FILE`")
	cmd.Flags().BoolVar(&f.keep, "keep", true, "keep the originals beside the ledger")
	_ = cmd.MarkFlagRequired("plans") // fails only for a flag that does not exist
	ledgerFlag(cmd, &f.ledger)
	a.modelFlag(cmd)
	return cmd
}

func (a *app) week(ctx context.Context, folder string, f *weekFlags) error {
	if f.csv && a.asJSON {
		return errors.New("--csv and --json both take standard output: give one of them")
	}
	names, err := filesIn(folder)
	if err != nil {
		return err
	}
	if len(names) == 0 {
		return fmt.Errorf("%s: there is no file in it; name the folder that holds the photos", folder)
	}
	l, err := openLedger(f.ledger)
	if err != nil {
		return err
	}
	defer l.Close()
	plans, err := a.loadPlans(ctx, l, f.plans)
	if err != nil {
		return err
	}
	abs, err := filepath.Abs(folder)
	if err != nil {
		return err
	}
	box := &reading{a: a, l: l, folder: folder, keep: f.keep}
	if err := box.read(ctx, names); errors.Is(err, context.Canceled) {
		return errors.New("stopped; what was read is kept, and the same command goes on from there")
	} else if err != nil {
		return err
	}
	files := make([]string, len(plans))
	for i := range plans {
		files[i] = plans[i].Plan.File
	}
	w, err := a.assess(ctx, l, abs, box.named, files, plans)
	if err != nil {
		return err
	}
	slices.SortFunc(box.asked, func(x, y week.Aside) int { return compareNames(x.File.Name, y.File.Name) })
	w.Aside = append(w.Aside, box.asked...)
	if f.html != "" {
		if err := a.writeWeekPage(ctx, l, w, f.html); err != nil {
			return err
		}
	}
	if err := a.printWeek(w, f.csv); err != nil {
		return err
	}
	return weekVerdict(w)
}

func compareNames(x, y string) int {
	switch {
	case x < y:
		return -1
	case x > y:
		return 1
	}
	return 0
}

func (a *app) printWeek(w *week.Week, csv bool) error {
	switch {
	case csv:
		_, err := a.result.Write(weekpage.CSV(w))
		return err
	case a.asJSON:
		return a.printJSON(w)
	}
	_, err := io.WriteString(&a.result, weekpage.Text(w))
	return err
}

// weekVerdict is the verdict of the whole: short where any receipt is, else
// undecided where anything is.
func weekVerdict(w *week.Week) error {
	switch {
	case w.Totals.Short > 0:
		return verdictError{audit.Short}
	case w.Totals.Undecided > 0 || slices.ContainsFunc(w.Questions, func(q week.Question) bool { return !q.Optional }):
		return verdictError{audit.Undecided}
	}
	return nil
}

// mostPictures is how many questions' pictures go into a page.
const mostPictures = 60

// writeWeekPage writes the week as a page, with the pictures of its questions.
func (a *app) writeWeekPage(ctx context.Context, l *ledger.Ledger, w *week.Week, file string) error {
	pictures := map[string][]byte{}
	for i, q := range w.Questions {
		if i == mostPictures {
			break
		}
		png, err := a.picture(ctx, l, q)
		if err != nil {
			fmt.Fprintf(a.err, "tillproof: note: %s has no picture: %v\n", q.ID, err)
			continue
		}
		pictures[q.ID] = png
	}
	sums, err := l.Totals(ctx)
	if err != nil {
		return err
	}
	page, err := weekpage.HTML(w, weekpage.ToDate{Found: sums.Found, Refunded: sums.Refunded, Received: sums.Received, Owed: sums.Owed}, pictures)
	if err != nil {
		return err
	}
	if err := os.WriteFile(file, []byte(page), 0o644); err != nil {
		return fmt.Errorf("%s: cannot be written: %w", file, err)
	}
	return nil
}

// openQuestion is a question as the ledger has it.
func openQuestion(q ledger.Question) (week.Question, error) {
	var out week.Question
	err := json.Unmarshal(q.JSON, &out)
	return out, err
}
