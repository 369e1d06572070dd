package main

import (
	"context"
	"io"

	"tillproof/audit"
	"tillproof/ocr"
	"tillproof/plan"
	"tillproof/report"

	"github.com/spf13/cobra"
)

func (a *app) checkCommand() *cobra.Command {
	var f checkFlags
	var overlayFile string
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
		Args: atLeastOne("the photos of a receipt"),
		RunE: func(cmd *cobra.Command, args []string) error {
			c, err := a.checkPhotos(cmd.Context(), &f, args)
			if err != nil {
				return err
			}
			if overlayFile != "" {
				if err := a.drawOverlay(overlayFile, c.plan, c.result, c.photos, c.pages, f.plan, f.mine); err != nil {
					return err
				}
			}
			if a.asJSON {
				err = a.printJSON(c.result)
			} else {
				_, err = io.WriteString(&a.result, report.Result(c.plan, c.result))
			}
			if err != nil {
				return err
			}
			return verdictError{c.result.Verdict}
		},
	}
	cmd.Flags().StringVar(&overlayFile, "overlay", "", "also draw the findings on the flattened photo, as a PNG picture in `FILE`")
	a.checkFlags(cmd, &f)
	return cmd
}

// checkFlags are the flags of every command that checks photos with a plan.
type checkFlags struct{ plan, mine, transaction string }

func (a *app) checkFlags(cmd *cobra.Command, f *checkFlags) {
	cmd.Flags().StringVar(&f.plan, "plan", "", "the plan `file` (required)")
	cmd.Flags().StringVar(&f.transaction, "transaction", "", "the `id` of the plan's transaction, where the receipt alone does not tell")
	_ = cmd.MarkFlagRequired("plan") // fails only for a flag that does not exist
	mineFlag(cmd, &f.mine)
	a.modelFlag(cmd)
}

// checkedPhotos is a receipt that was read of photos and checked with a plan.
type checkedPhotos struct {
	plan   *plan.Plan
	photos []source
	pages  []ocr.Page
	result *audit.Result
}

// checkPhotos reads the photos of one receipt and checks it; faults of the plan
// and of the photos are told together.
func (a *app) checkPhotos(ctx context.Context, f *checkFlags, names []string) (*checkedPhotos, error) {
	p, sum, planErr := a.loadPlanWith(f.plan, f.mine)
	photos, photoErr := a.loadSources(ctx, names)
	if planErr != nil || photoErr != nil {
		return nil, joinFaults(planErr, photoErr)
	}
	each, err := a.readEach(ctx, photos, p.Store.Prints)
	if err != nil {
		return nil, err
	}
	one, result, err := a.checkEach(audit.Input{
		Plan: p, Transaction: f.transaction,
		PlanRef: audit.PlanRef{File: f.plan, SHA256: sum}, Tool: "tillproof " + version,
	}, each)
	if err != nil {
		return nil, err
	}
	a.advise([]readPaper{one})
	return &checkedPhotos{p, photos, one.pages, result}, nil
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
