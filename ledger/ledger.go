// Package ledger keeps what was read and decided, in one SQLite file: photos by
// their hash with what was read in them, plans, receipts with their results,
// what a person corrected, the names that tills print, and credits, rebates and
// findings with their states and histories.
//
// Open is the function to read first, then Save, which books what one folder of
// receipts came to, and Mark. Every method that returns without an error has
// written to disk what it was given, and a crash leaves either all of it or
// nothing. Several processes may use one file at once.
package ledger

import (
	"bytes"
	"compress/gzip"
	"context"
	"database/sql"
	"embed"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/url"
	"os"
	"path/filepath"
	"sync"
	"time"

	"tillproof/money"

	"modernc.org/sqlite" // the driver "sqlite", in Go
	sqlite3 "modernc.org/sqlite/lib"
)

//go:embed migration/*.sql
var migrations embed.FS

// Ledger is an open ledger file.
type Ledger struct {
	db *sql.DB
	// photos is the folder of the originals, beside the file.
	photos string
}

// Open opens the ledger in file, and makes it where there is none.
func Open(file string) (*Ledger, error) {
	if err := os.MkdirAll(filepath.Dir(file), 0o700); err != nil {
		return nil, fmt.Errorf("%s: the ledger's folder cannot be made: %w; name another file with --ledger", file, err)
	}
	abs, err := filepath.Abs(file)
	if err != nil {
		return nil, err
	}
	// Writers take their turn at the start of a transaction, so that none fails
	// half way. FULL: a commit is on the disk before it returns.
	dsn := (&url.URL{Scheme: "file", Path: filepath.ToSlash(abs)}).String() +
		"?_txlock=immediate&_pragma=busy_timeout(20000)&_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)&_pragma=foreign_keys(1)"
	db, err := sql.Open("sqlite", dsn)
	if err != nil {
		return nil, err
	}
	l := &Ledger{db: db, photos: abs + ".photos"}
	// Of two that make a file at once, SQLite refuses one the change to WAL without
	// waiting for its turn.
	err = l.migrate()
	for wait := time.Millisecond; busy(err) && wait < 10*time.Second; wait *= 2 {
		time.Sleep(wait)
		err = l.migrate()
	}
	if err != nil {
		db.Close()
		return nil, fmt.Errorf("%s: the ledger cannot be opened: %w", file, err)
	}
	return l, nil
}

// Close closes the ledger.
func (l *Ledger) Close() error { return l.db.Close() }

// migrate brings the file to the newest version, one step a transaction.
func (l *Ledger) migrate() error {
	steps, err := migrations.ReadDir("migration")
	if err != nil {
		return err
	}
	return l.write(context.Background(), func(tx *sql.Tx) error {
		var version int
		if err := tx.QueryRow("PRAGMA user_version").Scan(&version); err != nil {
			return err
		}
		if version > len(steps) {
			return fmt.Errorf("a newer tillproof made it (version %d, this one knows %d): use that one", version, len(steps))
		}
		for i := version; i < len(steps); i++ {
			src, err := migrations.ReadFile("migration/" + steps[i].Name())
			if err != nil {
				return err
			}
			if _, err := tx.Exec(string(src) + fmt.Sprintf("\nPRAGMA user_version = %d;", i+1)); err != nil {
				return fmt.Errorf("%s: %w", steps[i].Name(), err)
			}
		}
		return nil
	})
}

// write runs do in one transaction, which is on the disk when write returns nil.
func (l *Ledger) write(ctx context.Context, do func(tx *sql.Tx) error) error {
	tx, err := l.db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	if err := do(tx); err != nil {
		return errors.Join(err, ignoreDone(tx.Rollback()))
	}
	return tx.Commit()
}

func ignoreDone(err error) error {
	if errors.Is(err, sql.ErrTxDone) {
		return nil
	}
	return err
}

// rows calls each with every row of a query.
func rows(ctx context.Context, db querier, each func(scan func(...any) error) error, query string, args ...any) error {
	rs, err := db.QueryContext(ctx, query, args...)
	if err != nil {
		return err
	}
	defer rs.Close()
	for rs.Next() {
		if err := each(rs.Scan); err != nil {
			return err
		}
	}
	return rs.Err()
}

// querier is the database or a transaction.
// busy reports whether err says that another process has the file.
func busy(err error) bool {
	var e *sqlite.Error
	return errors.As(err, &e) && e.Code() == sqlite3.SQLITE_BUSY
}

type querier interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
}

// pack makes a compressed JSON text of v, as small as it is kept.
func pack(v any) ([]byte, error) {
	var b bytes.Buffer
	z := packers.Get().(*gzip.Writer)
	defer packers.Put(z)
	z.Reset(&b)
	if err := json.NewEncoder(z).Encode(v); err != nil {
		return nil, err
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// packers are used again, since a new one takes a megabyte.
var packers = sync.Pool{New: func() any {
	z, err := gzip.NewWriterLevel(nil, gzip.BestSpeed)
	if err != nil {
		panic(err) // the level is one of the package's own
	}
	return z
}}

// unpack fills v with what pack made a text of.
func unpack(b []byte, v any) error {
	z, err := gzip.NewReader(bytes.NewReader(b))
	if err != nil {
		return err
	}
	text, err := io.ReadAll(z)
	if err != nil {
		return err
	}
	return json.Unmarshal(text, v)
}

func jsonText(v any) string {
	b, err := json.Marshal(v)
	if err != nil {
		panic(err) // lists of strings and numbers always have a JSON
	}
	return string(b)
}

// cents is a for a column, NULL for none.
func cents(a *money.Amount) any {
	if a == nil {
		return nil
	}
	return a.Cents()
}

func amountOf(n sql.NullInt64) *money.Amount {
	if !n.Valid {
		return nil
	}
	a := money.FromCents(n.Int64)
	return &a
}
