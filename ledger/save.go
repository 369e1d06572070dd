package ledger

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"slices"

	"tillproof/audit"
	"tillproof/ledger/state"
	"tillproof/money"
	"tillproof/plan"
)

// Receipt is one receipt as it is counted.
type Receipt struct {
	ID    string
	Kind  string
	Store string
	// Date, Time, Register and Transaction are as printed, empty where not read.
	Date, Time, Register, Transaction string
	Total                             *money.Amount
	// Plan and Planned are the plan's file and transaction, empty for neither.
	Plan, Planned            string
	Verdict                  string
	Expected, Actual         *money.Amount
	ShortAtTill, ShortCredit money.Amount
	Result                   *audit.Result
	// Shelved is where Result lies on the folder's shelf, in its place.
	Shelved Place
	Photos  []Part
}

// Part is one photo of a receipt; N counts the receipts in a photo.
type Part struct {
	SHA256 string
	N      int
}

// Due is a credit or rebate of a receipt.
type Due struct {
	ID      string `json:"id"`
	Receipt string `json:"receipt"`
	Store   string `json:"store,omitempty"`
	Date    string `json:"date,omitempty"`
	state.Claim
}

// Finding is a finding that lost money.
type Finding struct {
	ID      string `json:"id"`
	Receipt string `json:"receipt"`
	Store   string `json:"store,omitempty"`
	Date    string `json:"date,omitempty"`
	Kind    string `json:"kind"`
	Offer   string `json:"offer,omitempty"`
	Title   string `json:"title"`
	Carried string `json:"carried"`
	Side    string `json:"side"`
	state.Finding
}

// Question is something that could not be decided. JSON is what whoever asks
// keeps of it.
type Question struct {
	ID       string
	Folder   string
	Amount   money.Amount
	Optional bool
	JSON     json.RawMessage
}

// Toward is what a receipt adds to an offer that adds up over receipts.
type Toward struct {
	Receipt, Offer string
	Amount         money.Amount
	Date           string
}

// Named is a photo under the name it has in a folder.
type Named struct {
	Name   string `json:"name"`
	SHA256 string `json:"sha256"`
}

// Folder is what one folder of receipts came to.
type Folder struct {
	Folder    string
	Photos    []Named
	Plans     []string
	Receipts  []Receipt
	Dues      []Due
	Findings  []Finding
	Questions []Question
	Toward    []Toward
	// Shelf has the results that are Shelved, nil where none is.
	Shelf *Shelf
}

// Save books what a folder came to in place of what it came to before. States
// and histories stay; a due or finding that is no more is kept where something
// was done about it.
func (l *Ledger) Save(ctx context.Context, f Folder) error {
	return l.write(ctx, func(tx *sql.Tx) error {
		s := saver{ctx: ctx, tx: tx, ready: map[string]*sql.Stmt{}}
		s.clear(f)
		s.exec("INSERT OR REPLACE INTO folders (folder, photos, plans) VALUES (?, ?, ?)", f.Folder, jsonText(f.Photos), jsonText(f.Plans))
		for i := range f.Receipts {
			s.receipt(&f, &f.Receipts[i])
		}
		for i := range f.Dues {
			s.due(&f.Dues[i])
		}
		for i := range f.Findings {
			s.finding(&f.Findings[i])
		}
		for _, q := range f.Questions {
			s.exec("INSERT OR REPLACE INTO questions (id, folder, json, amount, optional) VALUES (?, ?, ?, ?, ?)", q.ID, f.Folder, string(q.JSON), q.Amount.Cents(), q.Optional)
		}
		for _, t := range f.Toward {
			s.exec("INSERT OR REPLACE INTO toward (receipt, offer, amount, date) VALUES (?, ?, ?, ?)", t.Receipt, t.Offer, t.Amount.Cents(), t.Date)
		}
		return s.err
	})
}

// saver writes the rows of one Save; after a fault it writes no more.
type saver struct {
	ctx context.Context
	tx  *sql.Tx
	err error
	// ready are the statements by their text: most are used for many rows. They
	// close with the transaction.
	ready map[string]*sql.Stmt
}

func (s *saver) exec(query string, args ...any) {
	if s.err != nil {
		return
	}
	stmt := s.ready[query]
	if stmt == nil {
		if stmt, s.err = s.tx.PrepareContext(s.ctx, query); s.err != nil {
			return
		}
		s.ready[query] = stmt
	}
	_, s.err = stmt.ExecContext(s.ctx, args...)
}

// clear takes away what the folder came to before.
func (s *saver) clear(f Folder) {
	var dues, findings []string
	for i := range f.Dues {
		dues = append(dues, f.Dues[i].ID)
	}
	for i := range f.Findings {
		findings = append(findings, f.Findings[i].ID)
	}
	for table, keep := range map[string][]string{"dues": dues, "findings": findings} {
		s.forget(table, f.Folder, keep)
	}
	const ofFolder = " WHERE receipt IN (SELECT id FROM receipts WHERE folder = ?)"
	s.exec("DELETE FROM receipt_photos"+ofFolder, f.Folder)
	s.exec("DELETE FROM toward"+ofFolder, f.Folder)
	s.exec("DELETE FROM receipts WHERE folder = ?", f.Folder)
	s.exec("DELETE FROM questions WHERE folder = ?", f.Folder)
}

// forget takes away the rows of the folder's receipts that are not among keep
// and that nothing was ever done about.
func (s *saver) forget(table, folder string, keep []string) {
	if s.err != nil {
		return
	}
	var gone []string
	s.err = rows(s.ctx, s.tx, func(scan func(...any) error) error {
		var id string
		err := scan(&id)
		if !slices.Contains(keep, id) {
			gone = append(gone, id)
		}
		return err
	}, "SELECT id FROM "+table+" WHERE receipt IN (SELECT id FROM receipts WHERE folder = ?) AND NOT EXISTS (SELECT 1 FROM events WHERE subject = "+table+".id)", folder)
	for _, id := range gone {
		s.exec("DELETE FROM "+table+" WHERE id = ?", id)
	}
}

func (s *saver) receipt(f *Folder, r *Receipt) {
	var result []byte
	switch {
	case s.err != nil:
		return
	case r.Shelved != Place{}:
		result, s.err = f.Shelf.packed(r.Shelved)
	case r.Result != nil:
		result, s.err = pack(r.Result)
	}
	s.exec(`INSERT OR REPLACE INTO receipts (id, folder, kind, store, date, time, register, txn, total, plan, planned, verdict, expected, actual, short_till, short_credit, result)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		r.ID, f.Folder, r.Kind, r.Store, r.Date, r.Time, r.Register, r.Transaction, cents(r.Total), r.Plan, r.Planned, r.Verdict,
		cents(r.Expected), cents(r.Actual), r.ShortAtTill.Cents(), r.ShortCredit.Cents(), result)
	for _, p := range r.Photos {
		s.exec("INSERT OR IGNORE INTO receipt_photos (receipt, sha256, part) VALUES (?, ?, ?)", r.ID, p.SHA256, p.N)
	}
}

// due books a due; one that is there keeps its state where something was done.
func (s *saver) due(d *Due) {
	s.exec(`INSERT INTO dues (id, receipt, store, date, offer, title, claim_to, kind, what, value, began, state, paid, by_date, lines)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
		ON CONFLICT (id) DO UPDATE SET receipt = excluded.receipt, store = excluded.store, date = excluded.date, title = excluded.title,
			claim_to = excluded.claim_to, what = excluded.what, value = excluded.value, by_date = excluded.by_date, lines = excluded.lines,
			state = CASE WHEN dues.state = dues.began THEN excluded.began ELSE dues.state END, began = excluded.began`,
		d.ID, d.Receipt, d.Store, d.Date, d.Offer, d.Title, d.ClaimTo, string(d.Kind), d.What, d.Value.Cents(),
		string(d.Began), string(d.State), d.Paid.Cents(), d.By.String(), jsonText(d.Lines))
}

func (s *saver) finding(f *Finding) {
	s.exec(`INSERT INTO findings (id, receipt, store, date, kind, offer, title, carried, side, lost, state, refunded)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
		ON CONFLICT (id) DO UPDATE SET receipt = excluded.receipt, store = excluded.store, date = excluded.date, title = excluded.title,
			carried = excluded.carried, side = excluded.side, lost = excluded.lost`,
		f.ID, f.Receipt, f.Store, f.Date, f.Kind, f.Offer, f.Title, f.Carried, f.Side, f.Lost.Cents(), string(f.State), f.Refunded.Cents())
}

// Folders returns the folders that were booked, with their photos and plans.
func (l *Ledger) Folders(ctx context.Context) ([]Folder, error) {
	var all []Folder
	err := rows(ctx, l.db, func(scan func(...any) error) error {
		var f Folder
		var photos, plans string
		if err := scan(&f.Folder, &photos, &plans); err != nil {
			return err
		}
		all = append(all, f)
		last := &all[len(all)-1]
		return errors.Join(json.Unmarshal([]byte(photos), &last.Photos), json.Unmarshal([]byte(plans), &last.Plans))
	}, "SELECT folder, photos, plans FROM folders ORDER BY folder")
	return all, err
}

// Questions returns the open questions, the largest sum first and those that
// need no answer last; those of a folder that are alike in this keep the order
// in which they were saved.
func (l *Ledger) Questions(ctx context.Context) ([]Question, error) {
	var all []Question
	err := rows(ctx, l.db, func(scan func(...any) error) error {
		var q Question
		var text string
		var n int64
		err := scan(&q.ID, &q.Folder, &text, &n, &q.Optional)
		q.JSON, q.Amount = json.RawMessage(text), money.FromCents(n)
		all = append(all, q)
		return err
	}, "SELECT id, folder, json, amount, optional FROM questions ORDER BY optional, amount DESC, rowid")
	return all, err
}

// parseDate reads a column that was written of a plan.Date.
func parseDate(s string) plan.Date {
	d, _ := plan.ParseDate(s) // what is written is a date or empty, which is none
	return d
}
