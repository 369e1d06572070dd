package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"

	"tillproof/plan"
	"tillproof/plan/draft"
	"tillproof/plan/schema"
	"tillproof/plan/split"
	"tillproof/report/planpage"

	"github.com/spf13/cobra"
)

// planCommand holds what a planner does with plan files.
func (a *app) planCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "plan",
		Short: "Write, check, divide up and publish plan files",
		Long: `Write, check, divide up and publish plan files. What a plan costs, tillproof price
works out.`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			return errors.New("say what to do with plans: new, lint, show, split or schema")
		},
	}
	cmd.AddCommand(a.planNewCommand(), a.planLintCommand(), a.planShowCommand(), a.planSplitCommand(), a.planSchemaCommand())
	return cmd
}

func (a *app) planNewCommand() *cobra.Command {
	var from string
	cmd := &cobra.Command{
		Use:   "new [--from FILE]",
		Short: "Print a plan to start from",
		Long: `Print a plan to start from: a commented one, or one made of FILE. FILE is a result
that read or check printed with --json, whose receipt becomes a plan; or a typed
list, one line an item or an offer:

  store: Harbor Lane Market
  2026-05-09
  3 oats 4.29, app 40%
  2 foil 3.29 sale 2 for 5.00, maker 0.75 one
  1.24 lb grapes 2.99
  spend 18 get 4 gift card: oats jam

What each part was taken for, and what was not understood, is told on standard
error; the latter also stands as comments at the head of the plan.

Exit codes: 0 done, 2 nothing in FILE is an item.`,
		Example: "  tillproof plan new > trip.yaml\n  tillproof plan new --from basket.txt > trip.yaml\n  tillproof read --json receipt.jpg | tillproof plan new --from - > trip.yaml",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			if from == "" {
				a.result.Write(draft.New())
				return nil
			}
			src, err := a.readFile(from, maxPlanBytes)
			if err != nil {
				return err
			}
			read := draft.FromBasket
			if text := bytes.TrimSpace(bytes.TrimPrefix(src, []byte("\ufeff"))); len(text) > 0 && text[0] == '{' {
				read = func(string) (*draft.Draft, error) { return draft.FromResult(src) }
			}
			d, err := read(string(src))
			if d != nil {
				a.tellDraft(d)
			}
			if err != nil {
				return fmt.Errorf("%s: %w", from, err)
			}
			a.result.Write(d.YAML)
			return nil
		},
	}
	cmd.Flags().StringVar(&from, "from", "", "make it of a result (JSON) or a typed list in `FILE`; - is standard input")
	return cmd
}

// tellDraft says what became of each part of the input.
func (a *app) tellDraft(d *draft.Draft) {
	tell := func(head string, notes []draft.Note) {
		if len(notes) == 0 {
			return
		}
		fmt.Fprintln(a.err, head)
		for _, n := range notes {
			if n.Line > 0 {
				fmt.Fprintf(a.err, "  line %d: %s\n", n.Line, n.Part)
			} else {
				fmt.Fprintf(a.err, "  %s\n", n.Part)
			}
			fmt.Fprintf(a.err, "      %s\n", n.Text)
		}
	}
	tell("understood:", d.Understood)
	tell("not understood, and so not in the plan:", d.NotUnderstood)
}

func (a *app) planLintCommand() *cobra.Command {
	var mine string
	cmd := &cobra.Command{
		Use:   "lint FILE...",
		Short: "Find everything that is wrong with plan files",
		Long: `Find every fault of plan files, each with its line and what to do, and say what
pricing them warns of.

Exit codes: 0 they can be used, 2 there are faults.`,
		Example: "  tillproof plan lint trip.yaml",
		Args:    atLeastOne("a plan or store file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			type linted struct {
				File     string         `json:"file"`
				Warnings []plan.Warning `json:"warnings"`
			}
			files := []linted{}
			var bad []error
			for _, name := range args {
				p, _, err := a.loadPlanWith(name, mine)
				if err != nil {
					bad = append(bad, err)
					continue
				}
				files = append(files, linted{name, p.Price().Warnings})
			}
			if err := joinFaults(bad...); err != nil {
				return err
			}
			if a.asJSON {
				return a.printJSON(map[string]any{"version": 1, "files": files})
			}
			for _, f := range files {
				fmt.Fprintf(&a.result, "%s: can be used\n", f.File)
				for _, w := range f.Warnings {
					fmt.Fprintf(&a.result, "  warning: %s\n", w.Text)
				}
			}
			return nil
		},
	}
	mineFlag(cmd, &mine)
	return cmd
}

func (a *app) planShowCommand() *cobra.Command {
	var mine, html, markdown string
	cmd := &cobra.Command{
		Use:   "show PLAN (--html FILE | --markdown FILE)",
		Short: "Write a plan as a page to print or publish",
		Long: `Write a plan as a page to print or publish: the shopping list in the order of the
store's aisles, the coupons to bring, each sum step by step, what comes back and
when. The HTML page has no scripts and fetches nothing.

Exit codes: 0 done, 2 the plan cannot be used or the page not be written.`,
		Example: "  tillproof plan show trip.yaml --html trip.html\n  tillproof plan show trip.yaml --markdown -",
		Args:    justOne("a plan file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if html == "" && markdown == "" {
				return errors.New("say where the page goes: --html FILE or --markdown FILE; - is standard output")
			}
			p, _, err := a.loadPlanWith(args[0], mine)
			if err != nil {
				return err
			}
			bill := p.Price()
			if html != "" {
				page, err := planpage.HTML(p, bill)
				if err == nil {
					err = a.writePage(html, page, args[0], mine)
				}
				if err != nil {
					return err
				}
			}
			if markdown != "" {
				return a.writePage(markdown, planpage.Markdown(p, bill), args[0], mine)
			}
			return nil
		},
	}
	cmd.Flags().StringVar(&html, "html", "", "write an HTML page to `FILE`")
	cmd.Flags().StringVar(&markdown, "markdown", "", "write a Markdown text to `FILE`")
	mineFlag(cmd, &mine)
	return cmd
}

// writePage writes a page to a file, but over none of the files it was made of.
func (a *app) writePage(name, page string, sources ...string) error {
	if name == "-" {
		a.result.WriteString(page)
		return nil
	}
	if target, err := os.Stat(name); err == nil {
		for _, source := range sources {
			if info, err := os.Stat(source); err == nil && os.SameFile(info, target) {
				return fmt.Errorf("%s: is the plan itself; give the page another name", name)
			}
		}
	}
	if err := os.WriteFile(name, []byte(page), 0o644); err != nil {
		return fmt.Errorf("%s: cannot be written: %w", name, err)
	}
	return nil
}

func (a *app) planSplitCommand() *cobra.Command {
	var moreDays int
	cmd := &cobra.Command{
		Use:   "split PLAN",
		Short: "Print a plan divided into the transactions that cost least",
		Long: `Print the plan file with its transactions divided up as tillproof price --best-split
found, to shop by and to check the receipts against. Comments between the old
transactions are lost; the rest of the file stays as it is.

Exit codes: 0 done, 2 the plan cannot be used.`,
		Example: "  tillproof plan split trip.yaml > divided.yaml",
		Args:    justOne("a plan file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			switch {
			case args[0] == "-":
				return errors.New("standard input cannot be divided up; give the plan's file")
			case moreDays < 0 || moreDays > maxMoreDays:
				return errMoreDays
			}
			p, _, err := a.loadPlan(args[0])
			if err != nil {
				return err
			}
			src, err := a.readFile(args[0], maxPlanBytes)
			if err != nil {
				return err
			}
			r := split.BestSplit(p, split.Options{MoreDays: moreDays})
			fmt.Fprint(a.err, planpage.Split(r))
			if r.Saves.IsZero() {
				a.result.Write(src)
				return nil
			}
			text, err := draft.Rewrite(src, r.Plan, a.storeOpener(args[0], map[string][]byte{}))
			if err != nil {
				return fmt.Errorf("%s: %w", args[0], err)
			}
			a.result.Write(text)
			return nil
		},
	}
	moreDaysFlag(cmd, &moreDays)
	return cmd
}

func (a *app) planSchemaCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "schema [plan|store]",
		Short: "Print the JSON Schema of plan files or store files",
		Long: `Print the JSON Schema (draft 2020-12) of plan files, or of store files, for editors
to complete fields and mark mistakes with.`,
		Example:   "  tillproof plan schema > plan.schema.json\n  tillproof plan schema store > store.schema.json",
		Args:      cobra.MatchAll(cobra.MaximumNArgs(1), cobra.OnlyValidArgs),
		ValidArgs: []string{"plan", "store"},
		RunE: func(cmd *cobra.Command, args []string) error {
			text := schema.Plan
			if len(args) == 1 && args[0] == "store" {
				text = schema.Store
			}
			a.result.WriteString(text)
			return nil
		},
	}
}
