package ledger

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"tillproof/ledger/state"
	"tillproof/money"
	"tillproof/plan"
)

const dueColumns = "id, receipt, store, date, offer, title, claim_to, kind, what, value, began, state, paid, by_date, lines"

func scanDue(scan func(...any) error) (Due, error) {
	var d Due
	var value, paid int64
	var kind, began, now, by, lines string // plain strings are scanned faster
	err := scan(&d.ID, &d.Receipt, &d.Store, &d.Date, &d.Offer, &d.Title, &d.ClaimTo, &kind, &d.What, &value, &began, &now, &paid, &by, &lines)
	if err != nil {
		return d, err
	}
	d.Kind, d.Began, d.State = state.Kind(kind), state.State(began), state.State(now)
	d.Value, d.Paid, d.By = money.FromCents(value), money.FromCents(paid), parseDate(by)
	if lines != "null" { // most credits have none
		err = json.Unmarshal([]byte(lines), &d.Lines)
	}
	return d, err
}

// OpenDues returns what is not settled, by its last day, what has none last.
func (l *Ledger) OpenDues(ctx context.Context) (all []Due, err error) {
	err = l.EachOpenDue(ctx, func(d *Due) { all = append(all, *d) })
	return all, err
}

// EachOpenDue calls each with what OpenDues returns, in its order. Both queries
// run along an index, so that nothing is sorted.
func (l *Ledger) EachOpenDue(ctx context.Context, each func(d *Due)) error {
	for _, days := range []string{"by_date > '' ORDER BY by_date, id", "by_date = '' ORDER BY id"} {
		err := rows(ctx, l.db, func(scan func(...any) error) error {
			d, err := scanDue(scan)
			if err == nil {
				each(&d)
			}
			return err
		}, "SELECT "+dueColumns+" FROM dues WHERE state NOT IN ('paid', 'used', 'expired') AND "+days)
		if err != nil {
			return err
		}
	}
	return nil
}

// OpenDuesBetween returns what is not settled and has its last day in span.
func (l *Ledger) OpenDuesBetween(ctx context.Context, span plan.Span) ([]Due, error) {
	return l.dues(ctx, "WHERE state NOT IN ('paid', 'used', 'expired') AND by_date >= ? AND by_date <= ? ORDER BY by_date, id", span.From.String(), through(span))
}

// DuesOf returns the dues of a receipt.
func (l *Ledger) DuesOf(ctx context.Context, receipt string) ([]Due, error) {
	return l.dues(ctx, "WHERE receipt = ? ORDER BY id", receipt)
}

func (l *Ledger) dues(ctx context.Context, where string, args ...any) ([]Due, error) {
	var all []Due
	err := rows(ctx, l.db, func(scan func(...any) error) error {
		d, err := scanDue(scan)
		all = append(all, d)
		return err
	}, "SELECT "+dueColumns+" FROM dues "+where, args...)
	return all, err
}

// CreditsElsewhere returns the credits of other folders' receipts, with the plan
// of each. Those that are spent are among them, so that the receipt they were
// spent on is found again.
func (l *Ledger) CreditsElsewhere(ctx context.Context, folder string) (all []Due, plans []string, err error) {
	err = rows(ctx, l.db, func(scan func(...any) error) error {
		var p string
		d, err := scanDue(func(to ...any) error { return scan(append(to, &p)...) })
		all, plans = append(all, d), append(plans, p)
		return err
	}, "SELECT d."+strings.ReplaceAll(dueColumns, ", ", ", d.")+`, r.plan FROM dues d JOIN receipts r ON r.id = d.receipt
		WHERE d.kind = 'credit' AND r.folder <> ? ORDER BY d.date, d.id`, folder)
	return all, plans, err
}

// through is the end of span for a query: the last day of all where it is open.
func through(span plan.Span) string {
	if span.Through.IsZero() {
		return "9999"
	}
	return span.Through.String()
}

const findingColumns = "id, receipt, store, date, kind, offer, title, carried, side, lost, state, refunded"

func scanFinding(scan func(...any) error) (Finding, error) {
	var f Finding
	var lost, refunded int64
	err := scan(&f.ID, &f.Receipt, &f.Store, &f.Date, &f.Kind, &f.Offer, &f.Title, &f.Carried, &f.Side, &lost, &f.State, &refunded)
	f.Lost, f.Refunded = money.FromCents(lost), money.FromCents(refunded)
	return f, err
}

// Findings returns the findings of receipts dated within span.
func (l *Ledger) Findings(ctx context.Context, span plan.Span) ([]Finding, error) {
	var all []Finding
	err := rows(ctx, l.db, func(scan func(...any) error) error {
		f, err := scanFinding(scan)
		all = append(all, f)
		return err
	}, "SELECT "+findingColumns+" FROM findings WHERE date >= ? AND date <= ? ORDER BY date, id", span.From.String(), through(span))
	return all, err
}

// Find returns the due or finding whose id begins with prefix; the other is nil.
func (l *Ledger) Find(ctx context.Context, prefix string) (*Due, *Finding, error) {
	if len(prefix) < 4 {
		return nil, nil, fmt.Errorf("%q is too short for an id: write at least four of its characters", prefix)
	}
	return find(ctx, l.db, prefix)
}

func find(ctx context.Context, db querier, prefix string) (due *Due, finding *Finding, err error) {
	n := 0
	err = rows(ctx, db, func(scan func(...any) error) error {
		d, err := scanDue(scan)
		due, n = &d, n+1
		return err
	}, "SELECT "+dueColumns+" FROM dues WHERE id >= ? AND id < ? LIMIT 2", prefix, prefix+"~")
	if err != nil {
		return nil, nil, err
	}
	err = rows(ctx, db, func(scan func(...any) error) error {
		f, err := scanFinding(scan)
		finding, n = &f, n+1
		return err
	}, "SELECT "+findingColumns+" FROM findings WHERE id >= ? AND id < ? LIMIT 2", prefix, prefix+"~")
	switch {
	case err != nil:
		return nil, nil, err
	case n == 0:
		return nil, nil, fmt.Errorf("nothing in the ledger has the id %s: tillproof due lists what is owed", prefix)
	case n > 1:
		return nil, nil, fmt.Errorf("several things in the ledger have an id that begins with %s: write more of it", prefix)
	}
	return due, finding, nil
}

// Mark books an event of a due or finding, whose id may be shortened.
func (l *Ledger) Mark(ctx context.Context, prefix string, e state.Event) error {
	return l.MarkAll(ctx, []Marking{{prefix, e}})
}

// Marking is an event of the due or finding whose id begins with Prefix.
type Marking struct {
	Prefix string
	Event  state.Event
}

// MarkAll books several events, or none where one of them cannot be.
func (l *Ledger) MarkAll(ctx context.Context, all []Marking) error {
	return l.write(ctx, func(tx *sql.Tx) error {
		for _, m := range all {
			due, finding, err := find(ctx, tx, m.Prefix)
			if err != nil {
				return err
			}
			if due != nil {
				err = applyDue(ctx, tx, due, m.Event)
			} else {
				err = applyFinding(ctx, tx, finding, m.Event)
			}
			if err != nil {
				return err
			}
		}
		return nil
	})
}

func applyFinding(ctx context.Context, tx *sql.Tx, f *Finding, e state.Event) error {
	now, err := f.Apply(e)
	if err != nil {
		return fmt.Errorf("%s: %w", f.ID, err)
	}
	if _, err := tx.ExecContext(ctx, "UPDATE findings SET state = ?, refunded = ? WHERE id = ?", string(now.State), now.Refunded.Cents(), f.ID); err != nil {
		return err
	}
	return addEvent(ctx, tx, f.ID, e)
}

func applyDue(ctx context.Context, tx *sql.Tx, d *Due, e state.Event) error {
	now, err := d.Apply(e)
	if err != nil {
		return fmt.Errorf("%s: %w", d.ID, err)
	}
	if _, err := tx.ExecContext(ctx, "UPDATE dues SET state = ?, paid = ? WHERE id = ?", string(now.State), now.Paid.Cents(), d.ID); err != nil {
		return err
	}
	return addEvent(ctx, tx, d.ID, e)
}

func addEvent(ctx context.Context, tx *sql.Tx, subject string, e state.Event) error {
	_, err := tx.ExecContext(ctx, "INSERT INTO events (subject, state, date, amount, note) VALUES (?, ?, ?, ?, ?)",
		subject, string(e.To), e.Date.String(), e.Amount.Cents(), e.Note)
	return err
}

// History returns the events of a due or finding, the first first.
func (l *Ledger) History(ctx context.Context, id string) ([]state.Event, error) {
	var all []state.Event
	err := rows(ctx, l.db, func(scan func(...any) error) error {
		var e state.Event
		var date string
		var n int64
		err := scan(&e.To, &date, &n, &e.Note)
		e.Date, e.Amount = parseDate(date), money.FromCents(n)
		all = append(all, e)
		return err
	}, "SELECT state, date, amount, note FROM events WHERE subject = ? ORDER BY n", id)
	return all, err
}

// Expire marks as expired what nobody claimed or used by its last day.
func (l *Ledger) Expire(ctx context.Context, today plan.Date) error {
	past, err := l.dues(ctx, "WHERE state NOT IN ('paid', 'used', 'expired') AND by_date <> '' AND by_date < ?", today.String())
	if err != nil {
		return err
	}
	var lapsed []string
	for i := range past {
		if past[i].Past(today) {
			lapsed = append(lapsed, past[i].ID)
		}
	}
	if lapsed == nil {
		return nil
	}
	return l.write(ctx, func(tx *sql.Tx) error {
		for _, id := range lapsed {
			due, _, err := find(ctx, tx, id)
			if err != nil {
				return err
			}
			if due == nil || !due.Past(today) { // marked by another process in between
				continue
			}
			if err := applyDue(ctx, tx, due, state.Event{To: state.Expired, Date: today, Note: "its last day was " + due.By.String()}); err != nil {
				return err
			}
		}
		return nil
	})
}

// Spend books that a credit was spent, once for each receipt it was spent on.
func (l *Ledger) Spend(ctx context.Context, due, receipt string, e state.Event) error {
	e.Note = "spent on receipt " + receipt
	return l.write(ctx, func(tx *sql.Tx) error {
		var n int
		if err := tx.QueryRowContext(ctx, "SELECT count(*) FROM events WHERE subject = ? AND note = ?", due, e.Note).Scan(&n); err != nil || n > 0 {
			return err
		}
		d, _, err := find(ctx, tx, due)
		if err != nil {
			return err
		}
		if d == nil {
			return errors.New(due + " is no credit")
		}
		if d.Settled() {
			return nil // a person has marked it already
		}
		return applyDue(ctx, tx, d, e)
	})
}
