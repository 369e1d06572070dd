package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"tillproof/audit"
	"tillproof/ledger"
	"tillproof/money"
	"tillproof/plan"
	"tillproof/report/weekpage"
	"tillproof/week"

	"github.com/spf13/cobra"
)

func (a *app) answerCommand() *cobra.Command {
	var file, crops string
	var all bool
	cmd := &cobra.Command{
		Use:   "answer [ID=ANSWER...]",
		Short: "List what could not be decided, and take answers",
		Long: `List the questions that tillproof week left open, the largest sum first, each with
a picture of what it is about. With answers: keep them as corrections, for good,
and check the receipts again.

Exit codes: 0 no question is open, and nothing short in what was answered; 1
something is short; 2 bad input; 3 questions are open, or something is undecided.`,
		Example: `  tillproof answer --pictures questions
  tillproof answer q4f1c2d3e5a6=5.49
  tillproof answer q4f1c=yes q77ab=2026-05-09`,
		RunE: func(cmd *cobra.Command, args []string) error {
			l, err := lookIn(file)
			if err != nil {
				return err
			}
			defer l.Close()
			if len(args) == 0 {
				return a.listQuestions(cmd.Context(), l, crops, all)
			}
			return a.takeAnswers(cmd.Context(), l, args)
		},
	}
	cmd.Flags().StringVar(&crops, "pictures", "", "write each question's picture into `FOLDER`")
	cmd.Flags().BoolVar(&all, "all", false, "list the optional questions too: what names a till prints")
	ledgerFlag(cmd, &file)
	return cmd
}

func (a *app) listQuestions(ctx context.Context, l *ledger.Ledger, folder string, all bool) error {
	open, err := l.Questions(ctx)
	if err != nil {
		return err
	}
	qs, pictures, needed := []week.Question{}, map[string]string{}, false
	for _, o := range open {
		if o.Optional && !all {
			continue
		}
		q, err := openQuestion(o)
		if err != nil {
			return err
		}
		needed = needed || !o.Optional
		qs = append(qs, q)
	}
	if folder != "" {
		if pictures, err = a.writePictures(ctx, l, folder, qs); err != nil {
			return err
		}
	}
	if a.asJSON {
		err = a.printJSON(struct {
			Version   int               `json:"version"`
			Questions []week.Question   `json:"questions"`
			Pictures  map[string]string `json:"pictures,omitempty"`
		}{1, qs, pictures})
	} else {
		_, err = io.WriteString(&a.result, weekpage.Questions(qs, pictures))
	}
	if err == nil && needed {
		err = verdictError{audit.Undecided}
	}
	return err
}

// writePictures writes a PNG for each question and returns their files.
func (a *app) writePictures(ctx context.Context, l *ledger.Ledger, folder string, qs []week.Question) (map[string]string, error) {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return nil, fmt.Errorf("%s: cannot be made: %w", folder, err)
	}
	written := map[string]string{}
	for _, q := range qs {
		png, err := a.picture(ctx, l, q)
		if err != nil {
			fmt.Fprintf(a.err, "tillproof: note: %s has no picture: %v\n", q.ID, err)
			continue
		}
		file := filepath.Join(folder, q.ID+".png")
		if err := os.WriteFile(file, png, 0o644); err != nil {
			return nil, fmt.Errorf("%s: cannot be written: %w", file, err)
		}
		written[q.ID] = file
	}
	return written, nil
}

// takeAnswers keeps answers, and checks the folders they are of again.
func (a *app) takeAnswers(ctx context.Context, l *ledger.Ledger, args []string) error {
	open, err := l.Questions(ctx)
	if err != nil {
		return err
	}
	var keep []ledger.Correction
	var names []ledger.Name
	var bad faults
	folders := map[string]bool{}
	for _, arg := range args {
		id, value, ok := strings.Cut(arg, "=")
		value = strings.TrimSpace(value)
		if !ok {
			bad = append(bad, fmt.Errorf("%q is no answer: write ID=ANSWER", arg))
			continue
		}
		o, q, err := findQuestion(open, id)
		if err == nil {
			err = fits(q, value)
		}
		if err != nil {
			bad = append(bad, err)
			continue
		}
		keep = append(keep, ledger.Correction{Question: q.ID, Value: value, Date: now().Format("2006-01-02")})
		folders[o.Folder] = true
		if q.Name != nil && value == "yes" {
			names = append(names, ledger.Name(*q.Name))
		}
	}
	if bad != nil {
		return bad
	}
	if err := l.Learn(ctx, names); err != nil {
		return err
	}
	if err := l.Correct(ctx, keep); err != nil {
		return err
	}
	return a.checkAgain(ctx, l, folders)
}

// findQuestion is the open question whose id begins with prefix.
func findQuestion(open []ledger.Question, prefix string) (ledger.Question, week.Question, error) {
	var found []ledger.Question
	for _, o := range open {
		if len(prefix) >= 4 && strings.HasPrefix(o.ID, prefix) {
			found = append(found, o)
		}
	}
	switch len(found) {
	case 0:
		return ledger.Question{}, week.Question{}, fmt.Errorf("no open question has the id %q: tillproof answer lists them", prefix)
	case 1:
		q, err := openQuestion(found[0])
		return found[0], q, err
	}
	return ledger.Question{}, week.Question{}, fmt.Errorf("several questions have an id that begins with %q: write more of it", prefix)
}

// fits reports why value is no answer to q.
func fits(q week.Question, value string) error {
	switch {
	case value == "":
		return fmt.Errorf("%s: the answer is empty", q.ID)
	case q.Kind == "date":
		if _, err := plan.ParseDate(value); err != nil {
			return fmt.Errorf("%s: %w", q.ID, err)
		}
	case q.Kind == "amount" && q.Printed != "":
		if _, err := money.Parse(value); err != nil && !strings.Contains(value, " ") {
			return fmt.Errorf("%s: %q is no amount, like 5.49, and no whole line", q.ID, value)
		}
	case len(q.Choices) > 0 && !slices.Contains(q.Choices, value):
		return fmt.Errorf("%s: %q is none of: %s", q.ID, value, strings.Join(q.Choices, ", "))
	}
	return nil
}

// checkAgain assesses folders anew and says what has changed.
func (a *app) checkAgain(ctx context.Context, l *ledger.Ledger, folders map[string]bool) error {
	known, err := l.Folders(ctx)
	if err != nil {
		return err
	}
	var worst error
	result := struct {
		Version int          `json:"version"`
		Changed []*week.Week `json:"weeks"`
	}{Version: 1}
	for _, f := range known {
		if !folders[f.Folder] {
			continue
		}
		before, err := l.Verdicts(ctx, f.Folder)
		if err != nil {
			return err
		}
		w, err := a.assessAgain(ctx, l, f)
		if err != nil {
			return err
		}
		result.Changed = append(result.Changed, w)
		a.tellChanges(w, before)
		worst = worse(worst, weekVerdict(w))
	}
	if a.asJSON {
		a.result.Reset()
		if err := a.printJSON(result); err != nil {
			return err
		}
	}
	return worst
}

// tellChanges says which receipts come out otherwise than before.
func (a *app) tellChanges(w *week.Week, before map[string]string) {
	open := 0
	for _, q := range w.Questions {
		if !q.Optional {
			open++
		}
	}
	for _, r := range w.Receipts {
		was, there := before[r.ID]
		if !r.Counted() || there && was == string(r.Verdict) {
			continue
		}
		text := string(r.Verdict)
		if r.Result != nil && r.Verdict == "short" {
			text += " by " + r.Result.ShortAtTill.Add(r.Result.ShortCredit).String()
		}
		if text == "" {
			text = "of no plan"
		}
		if was == "" {
			was = "not counted or of no plan"
		}
		fmt.Fprintf(&a.result, "%s: was %s, is now %s\n", r.Files[0].Name, was, text)
	}
	fmt.Fprintf(&a.result, "Questions still open: %d\n", open)
}

// worse is the worse of two outcomes: short before undecided before nothing.
func worse(x, y error) error {
	if x == nil || y != nil && exitCode(y) == exitDifferent {
		return y
	}
	return x
}
