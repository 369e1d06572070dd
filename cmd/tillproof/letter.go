package main

import (
	"fmt"
	"io"

	"tillproof/audit"
	"tillproof/audit/letter"
	"tillproof/report"

	"github.com/spf13/cobra"
)

func (a *app) letterCommand() *cobra.Command {
	var f checkFlags
	cmd := &cobra.Command{
		Use:   "letter --plan PLAN PHOTO...",
		Short: "Write what to send to a store, maker or payer after a check",
		Long: `Check a receipt as check does, and write a polite letter to each who should hear of
it, with lines, sums, what to enclose and the last day. Only what is firm and was
lost at the till goes into a letter, and what the receipt proves a rebate for.
Nothing is sent: read it, sign it, and check the rules of your place first.

Exit codes: 0 there is something to send, or nothing to complain of; 2 bad input;
3 undecided, or no receipt could be read.`,
		Example: "  tillproof letter --plan trip.yaml receipt.jpg",
		Args:    atLeastOne("the photos of a receipt"),
		RunE: func(cmd *cobra.Command, args []string) error {
			c, err := a.checkPhotos(cmd.Context(), &f, args)
			if err != nil {
				return err
			}
			if err := a.printLetters(letter.Write(c.plan, c.result)); err != nil {
				return err
			}
			if c.result.Verdict == audit.Undecided {
				return verdictError{c.result.Verdict}
			}
			return nil
		},
	}
	a.checkFlags(cmd, &f)
	return cmd
}

func (a *app) printLetters(letters []letter.Letter) error {
	if a.asJSON {
		return a.printJSON(struct {
			Version int             `json:"version"`
			Letters []letter.Letter `json:"letters"`
		}{1, letters})
	}
	if len(letters) == 0 {
		fmt.Fprintln(&a.result, "Nothing to send: no firm finding lost money at the till, and no rebate is due.")
		return nil
	}
	for i, l := range letters {
		if i > 0 {
			fmt.Fprintln(&a.result, "\n----")
		}
		to := "To: the " + string(l.To)
		if l.Name != "" {
			to += ", " + l.Name
		}
		last := "Last day: " + l.Why
		if !l.LastDay.IsZero() {
			last = fmt.Sprintf("Last day: %s (%s)", l.LastDay, l.Why)
		}
		fmt.Fprintf(&a.result, "%s\n%s\nSubject: %s\n\n%s", to, last, l.Subject, l.Body)
		for _, e := range l.Enclose {
			fmt.Fprintf(&a.result, "\nEnclosed: %s", e)
		}
		fmt.Fprintln(&a.result)
	}
	_, err := io.WriteString(&a.result, "\n"+report.Caution+"\n")
	return err
}
