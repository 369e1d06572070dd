package week

import "tillproof/parse"

// cold is a receipt that was read and put away: of a large folder only the few
// receipts that are being looked at are there in full.
type cold struct {
	back func() *parse.Receipt
	at   []run
	text bool
}

// run is a row of lines that follow each other in one file: spot by spot they
// would take more room than all else that is kept of a receipt.
type run struct {
	spot
	n int32
}

func runsOf(at []spot) (runs []run) {
	for _, s := range at {
		if k := len(runs) - 1; k >= 0 {
			if r := &runs[k]; r.file == s.file && r.page == s.page && r.line+r.n == s.line {
				r.n++
				continue
			}
		}
		runs = append(runs, run{s, 1})
	}
	return runs
}

// cool puts r away, and returns it with what stands in its head alone.
func (a *assessor) cool(r *parse.Receipt, at []spot) (*parse.Receipt, *cold) {
	head := *r
	head.Lines, head.Messages, head.Sums, head.Warnings, head.Photos = nil, nil, nil, nil, nil
	return &head, &cold{a.in.Shelve(r), runsOf(at), isText(r)}
}

// full is all that was read of r, with the dates that were settled since.
func (r *Receipt) full() *parse.Receipt {
	if r.cold == nil {
		return r.Read
	}
	whole := r.cold.back()
	whole.Date, whole.DateOther = r.Read.Date, r.Read.DateOther
	return whole
}

// spots are where the lines of r stand.
func (r *Receipt) spots() []spot {
	if r.cold == nil {
		return r.at
	}
	var at []spot
	for _, run := range r.cold.at {
		for k := range run.n {
			at = append(at, spot{run.file, run.page, run.line + k})
		}
	}
	return at
}

func (r *Receipt) isText() bool {
	if r.cold == nil {
		return isText(r.Read)
	}
	return r.cold.text
}
