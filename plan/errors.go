package plan

import (
	"fmt"
	"strings"
)

// Pos is a place in a file; Line and Col count from 1, 0 is not known.
type Pos struct {
	File      string
	Line, Col int
}

// String prints p as file:line:column, without what is not known.
func (p Pos) String() string {
	s := p.File
	if p.Line > 0 {
		s += fmt.Sprintf(":%d", p.Line)
		if p.Col > 0 {
			s += fmt.Sprintf(":%d", p.Col)
		}
	}
	return s
}

// Error is one fault in a plan or store file: where, what is wrong, what to do.
type Error struct {
	Pos  Pos
	Msg  string // lower case, no full stop
	Hint string // what to do
}

// Error prints e on one line.
func (e *Error) Error() string {
	s := e.Pos.String() + ": " + e.Msg
	if e.Hint != "" {
		s += " (" + e.Hint + ")"
	}
	return s
}

// Errors are all faults found in one plan, in file order.
type Errors []*Error

// Error prints one fault a line.
func (e Errors) Error() string {
	lines := make([]string, len(e))
	for i, one := range e {
		lines[i] = one.Error()
	}
	return strings.Join(lines, "\n")
}
