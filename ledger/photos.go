package ledger

import (
	"context"
	"crypto/rand"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"tillproof/ocr"
)

// Photo is one file that was read: a photo, a PDF, an e-mail or a text.
type Photo struct {
	SHA256 string
	// Name is as the folder has it, Path where it lay when it was read.
	Name, Path string
	// Taken is when the camera says it took it, empty where it does not.
	Taken string
	// Reader names what read it, so that a better one can read it again.
	Reader string
	Pages  []ocr.Page
	// Fault says why it cannot be read; Pages are then empty.
	Fault string
}

// AddPhoto keeps what was read in a photo.
func (l *Ledger) AddPhoto(ctx context.Context, p Photo) error {
	var pages []byte
	if p.Fault == "" {
		var err error
		if pages, err = pack(p.Pages); err != nil {
			return err
		}
	}
	return l.write(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `INSERT OR REPLACE INTO photos (sha256, name, path, taken, reader, pages, fault) VALUES (?, ?, ?, ?, ?, ?, ?)`,
			p.SHA256, p.Name, p.Path, p.Taken, p.Reader, pages, p.Fault)
		return err
	})
}

// HasPhoto reports whether reader has read the photo before.
func (l *Ledger) HasPhoto(ctx context.Context, sha256, reader string) (bool, error) {
	var n int
	err := l.db.QueryRowContext(ctx, "SELECT count(*) FROM photos WHERE sha256 = ? AND reader = ?", sha256, reader).Scan(&n)
	return n > 0, err
}

// Photo returns what was read in a photo; nil where it was never read.
func (l *Ledger) Photo(ctx context.Context, sha256 string) (*Photo, error) {
	p := Photo{SHA256: sha256}
	var pages []byte
	err := l.db.QueryRowContext(ctx, "SELECT name, path, taken, reader, pages, fault FROM photos WHERE sha256 = ?", sha256).
		Scan(&p.Name, &p.Path, &p.Taken, &p.Reader, &pages, &p.Fault)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, nil
	} else if err != nil {
		return nil, err
	}
	if pages != nil {
		err = unpack(pages, &p.Pages)
	}
	return &p, err
}

// KeepOriginal keeps a file as it is, in the folder beside the ledger.
func (l *Ledger) KeepOriginal(sha256 string, data []byte) error {
	name, err := l.original(sha256)
	if err != nil {
		return err
	}
	if _, err := os.Stat(name); err == nil {
		return nil
	}
	if err := os.MkdirAll(filepath.Dir(name), 0o700); err != nil {
		return err
	}
	var salt [6]byte
	if _, err := rand.Read(salt[:]); err != nil {
		return err
	}
	temp := name + "." + hex.EncodeToString(salt[:])
	// A file has its name only once all of it is on the disk.
	f, err := os.OpenFile(temp, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	err = errors.Join(err, f.Sync(), f.Close())
	if err == nil {
		err = os.Rename(temp, name)
	}
	if err != nil {
		return errors.Join(err, os.Remove(temp))
	}
	return nil
}

// Original returns the kept file; fs.ErrNotExist where it was not kept.
func (l *Ledger) Original(sha256 string) ([]byte, error) {
	name, err := l.original(sha256)
	if err != nil {
		return nil, err
	}
	return os.ReadFile(name)
}

func (l *Ledger) original(sha256 string) (string, error) {
	if _, err := hex.DecodeString(sha256); err != nil || len(sha256) != 64 {
		return "", fmt.Errorf("%q is no SHA-256: %w", sha256, fs.ErrNotExist)
	}
	return filepath.Join(l.photos, sha256[:2], sha256), nil
}

// PlanFile is a plan as it was used, with the store file it names.
type PlanFile struct {
	File, SHA256 string
	Source       []byte
	Files        map[string][]byte
}

// PutPlans keeps plans; one of the same file is replaced.
func (l *Ledger) PutPlans(ctx context.Context, plans []PlanFile) error {
	return l.write(ctx, func(tx *sql.Tx) error {
		for _, p := range plans {
			_, err := tx.ExecContext(ctx, "INSERT OR REPLACE INTO plans (file, sha256, source, files) VALUES (?, ?, ?, ?)",
				p.File, p.SHA256, p.Source, jsonText(p.Files))
			if err != nil {
				return err
			}
		}
		return nil
	})
}

// Plan returns a kept plan; nil where there is none of that file.
func (l *Ledger) Plan(ctx context.Context, file string) (*PlanFile, error) {
	p := PlanFile{File: file}
	var files string
	err := l.db.QueryRowContext(ctx, "SELECT sha256, source, files FROM plans WHERE file = ?", file).Scan(&p.SHA256, &p.Source, &files)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, nil
	} else if err != nil {
		return nil, err
	}
	return &p, json.Unmarshal([]byte(files), &p.Files)
}

// Plans returns all plans that were kept.
func (l *Ledger) Plans(ctx context.Context) (all []PlanFile, err error) {
	err = rows(ctx, l.db, func(scan func(...any) error) error {
		var p PlanFile
		var files string
		if err := scan(&p.File, &p.SHA256, &p.Source, &files); err != nil {
			return err
		}
		err := json.Unmarshal([]byte(files), &p.Files)
		all = append(all, p)
		return err
	}, "SELECT file, sha256, source, files FROM plans ORDER BY file")
	return all, err
}

// Correction is a person's answer to a question.
type Correction struct{ Question, Value, Date string }

// Correct keeps answers.
func (l *Ledger) Correct(ctx context.Context, all []Correction) error {
	return l.write(ctx, func(tx *sql.Tx) error {
		for _, c := range all {
			if _, err := tx.ExecContext(ctx, "INSERT INTO corrections (question, value, date) VALUES (?, ?, ?)", c.Question, c.Value, c.Date); err != nil {
				return err
			}
		}
		return nil
	})
}

// Corrections returns the last answer to each question.
func (l *Ledger) Corrections(ctx context.Context) (map[string]string, error) {
	all := map[string]string{}
	err := rows(ctx, l.db, func(scan func(...any) error) error {
		var q, v string
		err := scan(&q, &v)
		all[q] = v
		return err
	}, "SELECT question, value FROM corrections ORDER BY n")
	return all, err
}

// Name is a text that a store's till prints for an item.
type Name struct {
	Store string `json:"store"`
	Item  string `json:"item"`
	Text  string `json:"text"`
}

// Learn keeps names that a person has confirmed.
func (l *Ledger) Learn(ctx context.Context, names []Name) error {
	return l.write(ctx, func(tx *sql.Tx) error {
		for _, n := range names {
			if _, err := tx.ExecContext(ctx, "INSERT OR IGNORE INTO names (store, item, text) VALUES (?, ?, ?)", n.Store, n.Item, n.Text); err != nil {
				return err
			}
		}
		return nil
	})
}

// Names returns the names learnt of a store, of all stores for "".
func (l *Ledger) Names(ctx context.Context, store string) ([]Name, error) {
	var all []Name
	err := rows(ctx, l.db, func(scan func(...any) error) error {
		var n Name
		err := scan(&n.Store, &n.Item, &n.Text)
		if store == "" || strings.EqualFold(store, n.Store) {
			all = append(all, n)
		}
		return err
	}, "SELECT store, item, text FROM names ORDER BY store, item, text")
	return all, err
}
