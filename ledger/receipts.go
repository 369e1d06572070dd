package ledger

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"

	"tillproof/audit"
	"tillproof/money"
	"tillproof/plan"
)

const receiptColumns = "id, kind, store, date, time, register, txn, total, plan, planned, verdict, expected, actual, short_till, short_credit"

func scanReceipt(scan func(...any) error, more ...any) (Receipt, error) {
	var r Receipt
	var total, expected, actual sql.NullInt64
	var till, credit int64
	err := scan(append([]any{&r.ID, &r.Kind, &r.Store, &r.Date, &r.Time, &r.Register, &r.Transaction, &total,
		&r.Plan, &r.Planned, &r.Verdict, &expected, &actual, &till, &credit}, more...)...)
	r.Total, r.Expected, r.Actual = amountOf(total), amountOf(expected), amountOf(actual)
	r.ShortAtTill, r.ShortCredit = money.FromCents(till), money.FromCents(credit)
	return r, err
}

func (l *Ledger) receipts(ctx context.Context, where string, args ...any) ([]Receipt, error) {
	var all []Receipt
	err := rows(ctx, l.db, func(scan func(...any) error) error {
		r, err := scanReceipt(scan)
		all = append(all, r)
		return err
	}, "SELECT "+receiptColumns+" FROM receipts "+where, args...)
	return all, err
}

// Receipts returns the receipts dated within span, without their results.
func (l *Ledger) Receipts(ctx context.Context, span plan.Span) ([]Receipt, error) {
	return l.receipts(ctx, "WHERE date >= ? AND date <= ? ORDER BY date, time, id", span.From.String(), through(span))
}

// Elsewhere returns the receipts of other folders that have one of the totals:
// those that a receipt of this folder may be seen again of.
func (l *Ledger) Elsewhere(ctx context.Context, folder string, totals []money.Amount) ([]Receipt, error) {
	var all []Receipt
	for len(totals) > 0 {
		n := min(len(totals), 500)
		args := []any{folder}
		for _, t := range totals[:n] {
			args = append(args, t.Cents())
		}
		some, err := l.receipts(ctx, "WHERE folder <> ? AND total IN (?"+strings.Repeat(", ?", n-1)+") ORDER BY id", args...)
		if err != nil {
			return nil, err
		}
		all, totals = append(all, some...), totals[n:]
	}
	return all, nil
}

// TowardElsewhere returns what receipts of other folders add to an offer.
func (l *Ledger) TowardElsewhere(ctx context.Context, folder string) ([]Toward, error) {
	var all []Toward
	err := rows(ctx, l.db, func(scan func(...any) error) error {
		var t Toward
		var n int64
		err := scan(&t.Receipt, &t.Offer, &n, &t.Date)
		t.Amount = money.FromCents(n)
		all = append(all, t)
		return err
	}, `SELECT t.receipt, t.offer, t.amount, t.date FROM toward t JOIN receipts r ON r.id = t.receipt WHERE r.folder <> ? ORDER BY t.offer, t.date, t.receipt`, folder)
	return all, err
}

// ReceiptIDs returns, for each photo of folder that is part of a receipt
// booked for it, that receipt.
func (l *Ledger) ReceiptIDs(ctx context.Context, folder string) (map[Part]string, error) {
	all := map[Part]string{}
	err := rows(ctx, l.db, func(scan func(...any) error) error {
		var id string
		var p Part
		err := scan(&id, &p.SHA256, &p.N)
		if was, ok := all[p]; !ok || id < was {
			all[p] = id
		}
		return err
	}, "SELECT receipt, sha256, part FROM receipt_photos WHERE receipt IN (SELECT id FROM receipts WHERE folder = ?)", folder)
	return all, err
}

// PhotosOf returns the photos of a receipt.
func (l *Ledger) PhotosOf(ctx context.Context, receipt string) ([]Part, error) {
	var all []Part
	err := rows(ctx, l.db, func(scan func(...any) error) error {
		var p Part
		err := scan(&p.SHA256, &p.N)
		all = append(all, p)
		return err
	}, "SELECT sha256, part FROM receipt_photos WHERE receipt = ? ORDER BY sha256, part", receipt)
	return all, err
}

// Result returns the result of the receipt whose id begins with prefix, nil
// where it has none.
func (l *Ledger) Result(ctx context.Context, prefix string) (*Receipt, *audit.Result, error) {
	var found []Receipt
	var packed []byte
	err := rows(ctx, l.db, func(scan func(...any) error) error {
		r, err := scanReceipt(scan, &packed)
		found = append(found, r)
		return err
	}, "SELECT "+receiptColumns+", result FROM receipts WHERE id >= ? AND id < ? LIMIT 2", prefix, prefix+"~")
	switch {
	case err != nil:
		return nil, nil, err
	case len(prefix) < 4 || len(found) == 0:
		return nil, nil, fmt.Errorf("no receipt in the ledger has the id %s", prefix)
	case len(found) > 1:
		return nil, nil, fmt.Errorf("several receipts have an id that begins with %s: write more of it", prefix)
	case packed == nil:
		return &found[0], nil, nil
	}
	result := new(audit.Result)
	if err := unpack(packed, result); err != nil {
		return nil, nil, err
	}
	return &found[0], result, nil
}

// EachResult calls each with the result of every receipt dated within span that
// has one, in the order of their dates.
func (l *Ledger) EachResult(ctx context.Context, span plan.Span, each func(r *audit.Result) error) error {
	return rows(ctx, l.db, func(scan func(...any) error) error {
		var packed []byte
		if err := scan(&packed); err != nil {
			return err
		}
		result := new(audit.Result)
		if err := unpack(packed, result); err != nil {
			return err
		}
		return each(result)
	}, "SELECT result FROM receipts WHERE date >= ? AND date <= ? AND result IS NOT NULL ORDER BY date, time, id", span.From.String(), through(span))
}

// Totals are sums over the whole ledger.
type Totals struct {
	// Receipts counts the receipts of purchases that belong to a plan.
	Receipts int `json:"receipts"`
	// Found is what findings say was lost, Refunded what of it came back.
	Found    money.Amount `json:"found"`
	Refunded money.Amount `json:"refunded"`
	// Received is what came of credits and rebates, Owed what is still out.
	Received money.Amount `json:"received"`
	Owed     money.Amount `json:"owed"`
}

// Totals adds up the ledger to date.
func (l *Ledger) Totals(ctx context.Context) (Totals, error) {
	var t Totals
	var found, refunded, received, owed int64
	err := errors.Join(
		l.db.QueryRowContext(ctx, "SELECT count(*) FROM receipts WHERE plan <> ''").Scan(&t.Receipts),
		l.db.QueryRowContext(ctx, "SELECT coalesce(sum(lost), 0), coalesce(sum(refunded), 0) FROM findings").Scan(&found, &refunded),
		l.db.QueryRowContext(ctx, "SELECT coalesce(sum(paid), 0), coalesce(sum(CASE WHEN state IN ('paid', 'used', 'expired') THEN 0 ELSE max(value - paid, 0) END), 0) FROM dues").Scan(&received, &owed))
	t.Found, t.Refunded, t.Received, t.Owed = money.FromCents(found), money.FromCents(refunded), money.FromCents(received), money.FromCents(owed)
	return t, err
}

// Verdicts returns the verdict of each receipt of a folder.
func (l *Ledger) Verdicts(ctx context.Context, folder string) (map[string]string, error) {
	all := map[string]string{}
	err := rows(ctx, l.db, func(scan func(...any) error) error {
		var id, verdict string
		err := scan(&id, &verdict)
		all[id] = verdict
		return err
	}, "SELECT id, verdict FROM receipts WHERE folder = ?", folder)
	return all, err
}
