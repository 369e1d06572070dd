package main

import (
	"fmt"
	"math"
	"os"
	"strings"

	"tillproof/report"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"
	"github.com/spf13/pflag"
)

// helpWidth is how wide help is at most.
const helpWidth = 80

// finish gives the whole tree of commands what all of them share: help that
// fits a terminal, and completion that knows what a flag takes.
func finish(root *cobra.Command) {
	root.SetUsageTemplate(strings.ReplaceAll(root.UsageTemplate(), "Flags.FlagUsages ", fmt.Sprintf("Flags.FlagUsagesWrapped %d ", helpWidth)))
	each(root, func(cmd *cobra.Command) {
		cmd.DisableAutoGenTag = true // a man page names no day
		cmd.Long = reflow(cmd.Long)
		cmd.Flags().VisitAll(func(f *pflag.Flag) { completeFlag(cmd, f) })
	})
}

// reflow wraps the paragraphs of s for a terminal; what is indented stays as it is.
func reflow(s string) string {
	paras := strings.Split(s, "\n\n")
	for i, p := range paras {
		if !strings.HasPrefix(p, " ") && !strings.Contains(p, "\n ") {
			paras[i] = strings.Join(report.Wrap(p, helpWidth), "\n")
		}
	}
	return strings.Join(paras, "\n\n")
}

// each calls f with cmd and every command below it.
func each(cmd *cobra.Command, f func(*cobra.Command)) {
	f(cmd)
	for _, sub := range cmd.Commands() {
		each(sub, f)
	}
}

// takes are the endings of the files that a flag takes, by its name.
var takes = map[string][]string{
	"plan": {"yaml", "yml"}, "mine": {"yaml", "yml"}, "model": {"traineddata"},
	"overlay": {"png"}, "html": {"html"}, "markdown": {"md"}, "csv": {"csv"}, "ics": {"ics"},
}

// completeFlag tells shells what a flag takes. The errors are those of a flag
// that does not exist or has a completion already.
func completeFlag(cmd *cobra.Command, f *pflag.Flag) {
	switch endings, file := takes[f.Name]; {
	case file:
		_ = cmd.MarkFlagFilename(f.Name, endings...)
	case f.Name == "plans" || f.Name == "output" || f.Name == "pictures":
		_ = cmd.MarkFlagDirname(f.Name)
	case f.Name == "to" && cmd.Name() == "packet":
		_ = cmd.RegisterFlagCompletionFunc(f.Name, cobra.FixedCompletions([]string{
			"store\twhoever runs the till", "maker\twho funds the coupon", "payer\twho pays the rebate",
		}, cobra.ShellCompDirectiveNoFileComp))
	}
}

func (a *app) manCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "man FOLDER",
		Short: "Write the manual pages of all commands",
		Long: `Write a manual page (section 1) of every command into a folder, which is made where
there is none.

Exit codes: 0 done, 2 bad input.`,
		Example: "  tillproof man share/man/man1\n  man -l share/man/man1/tillproof-check.1",
		Args:    justOne("the folder to write to"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := os.MkdirAll(args[0], 0o755); err != nil {
				return fmt.Errorf("%s: cannot be made: %w", args[0], err)
			}
			header := &doc.GenManHeader{Section: "1", Source: "tillproof " + version, Manual: "tillproof"}
			if err := doc.GenManTree(cmd.Root(), header, args[0]); err != nil {
				return fmt.Errorf("%s: the pages cannot be written: %w", args[0], err)
			}
			return nil
		},
	}
}

// atLeastOne asks for one argument or more, and names what.
func atLeastOne(what string) cobra.PositionalArgs { return named(what, math.MaxInt) }

// justOne asks for one argument, and names what.
func justOne(what string) cobra.PositionalArgs { return named(what, 1) }

func named(what string, most int) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		use := strings.TrimSuffix(cmd.UseLine(), " [flags]")
		switch {
		case len(args) == 0:
			return fmt.Errorf("name %s: %s", what, use)
		case len(args) > most:
			return fmt.Errorf("%q is one too many; name only %s: %s", args[most], what, use)
		}
		return flagsGiven(cmd)
	}
}

// flagsGiven names the flags that a command cannot do without and lacks, in words
// of a person rather than the library's.
func flagsGiven(cmd *cobra.Command) error {
	var missing []string
	cmd.Flags().VisitAll(func(f *pflag.Flag) {
		if len(f.Annotations[cobra.BashCompOneRequiredFlag]) > 0 && !f.Changed {
			missing = append(missing, "--"+f.Name)
		}
	})
	if missing == nil {
		return nil
	}
	return fmt.Errorf("give %s: %s", strings.Join(missing, " and "), strings.TrimSuffix(cmd.UseLine(), " [flags]"))
}
