package main

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"sync"

	"tillproof/ledger"
	"tillproof/ledger/state"
	"tillproof/money"
	"tillproof/parse"
	"tillproof/plan"
	"tillproof/week"
)

// assess decides what a folder comes to, with what the ledger knows, and books
// it. It may be done again at any time, with the same outcome.
func (a *app) assess(ctx context.Context, l *ledger.Ledger, folder string, named []ledger.Named, planFiles []string, plans []week.PlanFile) (*week.Week, error) {
	in := week.Input{Units: units(ctx, l, named), Plans: plans, Tool: "tillproof " + version}
	var err error
	if in.Answers, err = l.Corrections(ctx); err != nil {
		return nil, err
	}
	ids, err := l.ReceiptIDs(ctx, folder)
	if err != nil {
		return nil, err
	}
	in.IDs = map[week.Part]string{}
	for p, id := range ids {
		in.IDs[week.Part{SHA256: p.SHA256, N: p.N}] = id
	}
	toward, err := l.TowardElsewhere(ctx, folder)
	if err != nil {
		return nil, err
	}
	for _, t := range toward {
		in.Toward = append(in.Toward, week.Contribution{Receipt: t.Receipt, Offer: t.Offer, Amount: t.Amount, Date: t.Date})
	}
	credits, of, err := l.CreditsElsewhere(ctx, folder)
	if err != nil {
		return nil, err
	}
	for i, c := range credits {
		in.Credits = append(in.Credits, week.EarlierCredit{Due: c.ID, Plan: of[i], Offer: c.Offer, Date: c.Date, Value: c.Value})
	}
	in.Find = func(totals []money.Amount) []week.Earlier {
		var found []week.Earlier
		if err == nil {
			found, err = earlier(ctx, l, folder, totals)
		}
		return found
	}
	away, err2 := shelveIn(l, &in)
	if err2 != nil {
		return nil, err2
	}
	defer away.shelf.Close()
	w := week.Assess(in)
	if err = cmp.Or(err, away.err); err != nil {
		return nil, err
	}
	book := booked(w, away.results)
	book.Folder, book.Photos, book.Plans, book.Shelf = folder, named, planFiles, away.shelf
	if err := l.Save(ctx, book); err != nil {
		return nil, err
	}
	for _, s := range w.Spent {
		if err := l.Spend(ctx, s.Due, s.Receipt, state.Event{To: state.Used, Date: s.Date, Amount: s.Amount}); err != nil {
			return nil, err
		}
	}
	return w, nil
}

// shelved are the receipts of a folder that are not looked at, and the results
// of those that were.
type shelved struct {
	shelf   *ledger.Shelf
	mu      sync.Mutex
	err     error // the first fault of the shelf, which ends the whole
	results map[string]ledger.Place
}

// shelveIn has an assessment put away on disk what it does not need at the same
// time, so that memory does not grow with what is printed on the receipts.
func shelveIn(l *ledger.Ledger, in *week.Input) (*shelved, error) {
	shelf, err := l.NewShelf()
	if err != nil {
		return nil, fmt.Errorf("there is no room beside the ledger: %w; name one elsewhere with --ledger", err)
	}
	s := &shelved{shelf: shelf, results: map[string]ledger.Place{}}
	in.Keep = func(r *week.Receipt) {
		if r.Result != nil && r.SameAs == "" {
			s.results[r.ID] = s.put(r.Result)
		}
	}
	in.Shelve = func(r *parse.Receipt) func() *parse.Receipt {
		at := s.put(r)
		return func() *parse.Receipt {
			r := new(parse.Receipt)
			s.failed(shelf.Get(at, r))
			return r
		}
	}
	return s, nil
}

func (s *shelved) put(v any) ledger.Place {
	at, err := s.shelf.Put(v)
	s.failed(err)
	return at
}

func (s *shelved) failed(err error) {
	if err == nil {
		return
	}
	s.mu.Lock()
	s.err = cmp.Or(s.err, fmt.Errorf("what was read cannot be put away beside the ledger: %w; make room there", err))
	s.mu.Unlock()
}

// earlier are the receipts of other folders with one of the totals.
func earlier(ctx context.Context, l *ledger.Ledger, folder string, totals []money.Amount) ([]week.Earlier, error) {
	rs, err := l.Elsewhere(ctx, folder, totals)
	var all []week.Earlier
	for _, r := range rs {
		if r.Kind == string(parse.KindSale) {
			all = append(all, week.Earlier{ID: r.ID, Store: r.Store, Date: r.Date, Time: r.Time, Register: r.Register, Transaction: r.Transaction,
				Total: r.Total, Plan: r.Plan, Planned: r.Planned})
		}
	}
	return all, err
}

// booked is the week as the ledger books it, with the results of its receipts by
// their ids: what is not counted is left out.
func booked(w *week.Week, results map[string]ledger.Place) ledger.Folder {
	var f ledger.Folder
	of := map[string]*week.Receipt{}
	for _, r := range w.Receipts {
		if r.SameAs != "" {
			continue
		}
		of[r.ID] = r
		out := bookedReceipt(r)
		out.Shelved = results[r.ID]
		f.Receipts = append(f.Receipts, out)
	}
	for _, d := range w.Dues {
		out := ledger.Due{ID: d.ID, Receipt: d.Receipt, Claim: d.Claim}
		if r := of[d.Receipt]; r != nil {
			out.Store, out.Date = r.Store, r.Date
		}
		f.Dues = append(f.Dues, out)
	}
	for _, x := range w.Findings {
		out := ledger.Finding{ID: x.ID, Receipt: x.Receipt, Kind: string(x.Kind), Offer: x.Offer, Title: x.Title, Carried: x.Carried, Side: string(x.Side),
			Finding: state.Finding{Lost: x.Effect.Abs(), State: state.Open}}
		if r := of[x.Receipt]; r != nil {
			out.Store, out.Date = r.Store, r.Date
		}
		f.Findings = append(f.Findings, out)
	}
	for _, q := range w.Questions {
		text, err := json.Marshal(q)
		if err != nil {
			panic(err) // texts and numbers always have a JSON
		}
		f.Questions = append(f.Questions, ledger.Question{ID: q.ID, Amount: q.Amount, Optional: q.Optional, JSON: text})
	}
	for _, t := range w.Toward {
		for _, c := range t.Receipts {
			if of[c.Receipt] != nil {
				f.Toward = append(f.Toward, ledger.Toward{Receipt: c.Receipt, Offer: c.Offer, Amount: c.Amount, Date: c.Date})
			}
		}
	}
	return f
}

func bookedReceipt(r *week.Receipt) ledger.Receipt {
	out := ledger.Receipt{ID: r.ID, Kind: string(r.Kind), Store: r.Store, Date: r.Date, Time: r.Time, Register: r.Read.Register, Transaction: r.Read.Transaction,
		Total: r.Total, Plan: r.Plan, Planned: r.Transaction, Verdict: string(r.Verdict)}
	if res := r.Result; res != nil {
		expected := res.OutOfPocket.Expected
		out.Expected, out.Actual, out.ShortAtTill, out.ShortCredit = &expected, res.OutOfPocket.Actual, res.ShortAtTill, res.ShortCredit
		if r.Date == "" {
			out.Date = r.Day().String()
		}
	}
	for _, f := range append(append([]week.File{}, r.Files...), r.Copies...) {
		out.Photos = append(out.Photos, ledger.Part{SHA256: f.SHA256, N: f.N})
	}
	return out
}

// assessAgain decides anew on a folder that the ledger knows.
func (a *app) assessAgain(ctx context.Context, l *ledger.Ledger, f ledger.Folder) (*week.Week, error) {
	var kept []ledger.PlanFile
	for _, file := range f.Plans {
		p, err := l.Plan(ctx, file)
		if err != nil {
			return nil, err
		}
		if p != nil {
			kept = append(kept, *p)
		}
	}
	plans, err := a.parsePlans(ctx, l, kept)
	if err != nil {
		return nil, err
	}
	return a.assess(ctx, l, f.Folder, f.Photos, f.Plans, plans)
}

// today is the day it is.
func (a *app) today(on string) (plan.Date, error) {
	if on == "" {
		on = now().Format("2006-01-02")
	}
	return plan.ParseDate(on)
}
