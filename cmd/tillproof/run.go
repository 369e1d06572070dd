package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"

	"github.com/spf13/cobra"
)

// version is that of the program, as results name it.
const version = "0.1.0"

// streams are the standard ones, or a test's.
type streams struct {
	in       io.Reader
	out, err io.Writer
}

// app is what the commands share in one run of the program.
type app struct {
	streams
	// result is what goes to standard output. It is held back until the command
	// has ended, since with exit code 2 standard output stays empty.
	result bytes.Buffer
	asJSON bool
	model  string
}

// run runs one command line and returns the exit code.
func run(ctx context.Context, args []string, std streams) int {
	a := &app{streams: std}
	root := a.rootCommand()
	root.SetArgs(args)
	err := root.ExecuteContext(ctx)
	code := exitCode(err)
	if code != exitBadInput {
		if _, werr := std.out.Write(a.result.Bytes()); werr != nil {
			fmt.Fprintln(std.err, "tillproof: cannot write the result:", werr)
			return exitBadInput
		}
	}
	if text := errorText(err); text != "" {
		fmt.Fprint(std.err, text)
	}
	return code
}

// rootCommand is the program with all its commands.
func (a *app) rootCommand() *cobra.Command {
	root := &cobra.Command{
		Use:   "tillproof",
		Short: "Check what the till actually did against what your basket should have cost",
		Long: `Check what the till actually did against what your basket should have cost: plan a
trip, photograph the receipt, and see which deductions and credits are missing,
why, and what to do about it.`,
		Example: `  tillproof plan new > trip.yaml
  tillproof price trip.yaml
  tillproof check --plan trip.yaml receipt.jpg`,
		Version:       version,
		SilenceErrors: true,
		SilenceUsage:  true,
	}
	root.SetIn(a.in)
	root.SetOut(&a.result)
	root.SetErr(a.err)
	root.SetVersionTemplate("tillproof {{.Version}}\n")
	root.PersistentFlags().BoolVar(&a.asJSON, "json", false, "print the result as JSON, and nothing else, on standard output")
	root.AddCommand(
		a.priceCommand(), a.readCommand(), a.checkCommand(), a.letterCommand(), a.planCommand(),
		a.weekCommand(), a.answerCommand(), a.dueCommand(), a.ledgerCommand(),
		a.packetCommand(), a.accuracyCommand(), a.manCommand())
	finish(root)
	return root
}

// printJSON writes a result for a program.
func (a *app) printJSON(v any) error {
	enc := json.NewEncoder(&a.result)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}

// modelFlag lets a command take another reading model than the built-in one.
func (a *app) modelFlag(cmd *cobra.Command) {
	cmd.Flags().StringVar(&a.model, "model", "", "a Tesseract model `file` (.traineddata) to read with in place of the built-in one")
}
