package main

import (
	"io"

	"tillproof/audit"
	"tillproof/report"

	"github.com/spf13/cobra"
)

func (a *app) checkCommand() *cobra.Command {
	var planFile, mine, transaction, overlayFile string
	cmd := &cobra.Command{
		Use:   "check --plan PLAN PHOTO...",
		Short: "Check what the till did against what it should have done",
		Long: `Read the photos of one receipt and compare it with the plan: which deductions are
missing, which credits did not trigger, what else differs, how sure that is, and
what to do about it.

Exit codes: 0 as planned; 1 short, gained or till right; 2 bad input;
3 undecided, or no receipt could be read.`,
		Example: `  tillproof check --plan trip.yaml receipt.jpg
  tillproof check --plan trip.yaml --transaction pantry top.jpg bottom.jpg
  tillproof check --plan trip.yaml --overlay found.png receipt.jpg
  tillproof check --plan trip.yaml --json receipt.txt`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			p, sum, planErr := a.loadPlanWith(planFile, mine)
			photos, photoErr := a.loadSources(cmd.Context(), args)
			if planErr != nil || photoErr != nil {
				return joinFaults(planErr, photoErr)
			}
			each, err := a.readEach(cmd.Context(), photos, p.Store.Prints)
			if err != nil {
				return err
			}
			one, result, err := a.checkEach(audit.Input{
				Plan: p, Transaction: transaction,
				PlanRef: audit.PlanRef{File: planFile, SHA256: sum},
				Tool:    "tillproof " + version,
			}, each)
			if err != nil {
				return err
			}
			a.advise([]readPaper{one})
			if overlayFile != "" {
				if err := a.drawOverlay(overlayFile, p, result, photos, one.pages, planFile, mine); err != nil {
					return err
				}
			}
			if a.asJSON {
				err = a.printJSON(result)
			} else {
				_, err = io.WriteString(&a.result, report.Result(p, result))
			}
			if err != nil {
				return err
			}
			return verdictError{result.Verdict}
		},
	}
	cmd.Flags().StringVar(&planFile, "plan", "", "the plan `file` (required)")
	cmd.Flags().StringVar(&transaction, "transaction", "", "the `id` of the plan's transaction, where the receipt alone does not tell")
	cmd.Flags().StringVar(&overlayFile, "overlay", "", "also draw the findings on the flattened photo, into `FILE`.png")
	_ = cmd.MarkFlagRequired("plan") // fails only for a flag that does not exist
	mineFlag(cmd, &mine)
	a.modelFlag(cmd)
	return cmd
}

// joinFaults gathers what several steps found wrong into one report.
func joinFaults(errs ...error) error {
	var all faults
	for _, err := range errs {
		switch e := err.(type) {
		case nil:
		case faults:
			all = append(all, e...)
		default:
			all = append(all, e)
		}
	}
	if len(all) == 0 {
		return nil
	}
	return all
}
