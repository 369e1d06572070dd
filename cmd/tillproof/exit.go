package main

import (
	"errors"
	"fmt"
	"strings"

	"tillproof/audit"
	"tillproof/plan"
)

// The exit codes, as the result format defines them.
const (
	exitOK         = 0 // done; for check: as planned
	exitDifferent  = 1 // check: short, gained or till right
	exitBadInput   = 2 // a plan, photo or flag that cannot be used
	exitUnreadable = 3 // undecided, or no receipt can be read
)

// verdictError carries a check's verdict to the exit code; it prints nothing.
type verdictError struct{ verdict audit.Verdict }

func (e verdictError) Error() string { return string(e.verdict) }

// unreadableError says that files decoded and no receipt could be read in them.
type unreadableError struct{ msg string }

func (e unreadableError) Error() string { return e.msg }

// faults are all the faults found in the input, in the order they are reported.
type faults []error

func (f faults) Error() string {
	lines := make([]string, len(f))
	for i, err := range f {
		lines[i] = err.Error()
	}
	return strings.Join(lines, "\n")
}

// exitCode is the one place that maps outcomes to exit codes.
func exitCode(err error) int {
	var verdict verdictError
	var unreadable unreadableError
	switch {
	case err == nil:
		return exitOK
	case errors.As(err, &verdict):
		switch verdict.verdict {
		case audit.AsPlanned:
			return exitOK
		case audit.Short, audit.Gained, audit.TillRight:
			return exitDifferent
		}
		return exitUnreadable
	case errors.As(err, &unreadable):
		return exitUnreadable
	}
	return exitBadInput
}

// errorText is what standard error says of err: every fault, one after the other.
func errorText(err error) string {
	switch e := err.(type) {
	case nil, verdictError:
		return ""
	case faults:
		var b strings.Builder
		for _, one := range e {
			b.WriteString(errorText(one))
		}
		return b.String()
	case planFault:
		return e.text()
	}
	return fmt.Sprintf("tillproof: error: %v\n", err)
}

// planFault is what is wrong with a plan file, with the file's own text to
// show where.
type planFault struct {
	errs    plan.Errors
	sources map[string][]byte
}

func (e planFault) Error() string { return e.errs.Error() }

// text shows each fault with the line it is on and a caret under its place.
func (e planFault) text() string {
	var b strings.Builder
	for _, one := range e.errs {
		fmt.Fprintf(&b, "tillproof: error: %s: %s\n", one.Pos, one.Msg)
		if line, ok := sourceLine(e.sources[one.Pos.File], one.Pos.Line); ok {
			number := fmt.Sprintf("%5d", one.Pos.Line)
			fmt.Fprintf(&b, "%s | %s\n", number, line)
			if one.Pos.Col > 0 {
				fmt.Fprintf(&b, "%s | %s^\n", strings.Repeat(" ", len(number)), caretIndent(line, one.Pos.Col))
			}
		}
		if one.Hint != "" {
			fmt.Fprintf(&b, "      hint: %s\n", one.Hint)
		}
	}
	return b.String()
}

// sourceLine is line n of src, shortened where it is too long to show.
func sourceLine(src []byte, n int) (string, bool) {
	lines := strings.Split(string(src), "\n")
	if n < 1 || n > len(lines) || len(lines[n-1]) > 200 {
		return "", false
	}
	return strings.TrimRight(lines[n-1], "\r"), true
}

// caretIndent is white space as wide as the first col-1 characters of line,
// tabs kept, so that a caret after it stands under the column.
func caretIndent(line string, col int) string {
	var b strings.Builder
	for i, c := range []rune(line) {
		if i >= col-1 {
			break
		}
		if c == '\t' {
			b.WriteByte('\t')
		} else {
			b.WriteByte(' ')
		}
	}
	return b.String()
}
