package ledger

import (
	"os"
	"path/filepath"
	"sync"
)

// Shelf is a file for what is not needed at the same time, and not for longer
// than a run: beside the ledger, where there is room, and not in it, since
// nothing of it is booked.
type Shelf struct {
	file *os.File
	mu   sync.Mutex
	end  int64
}

// Place is where something lies on a Shelf; the zero one is nowhere.
type Place struct {
	from int64
	size int32
}

// NewShelf makes an empty shelf. It is gone once it is closed, and on most
// systems as soon as the process ends, however that is.
func (l *Ledger) NewShelf() (*Shelf, error) {
	f, err := os.CreateTemp(filepath.Dir(l.photos), ".shelf-")
	if err != nil {
		return nil, err
	}
	_ = os.Remove(f.Name()) // where an open file cannot be removed, Close does it
	return &Shelf{file: f}, nil
}

// Put puts v away.
func (s *Shelf) Put(v any) (Place, error) {
	b, err := pack(v)
	if err != nil {
		return Place{}, err
	}
	s.mu.Lock()
	p := Place{s.end, int32(len(b))}
	s.end += int64(len(b))
	s.mu.Unlock()
	_, err = s.file.WriteAt(b, p.from)
	return p, err
}

// Get fills v with what was put at p.
func (s *Shelf) Get(p Place, v any) error {
	b, err := s.packed(p)
	if err != nil {
		return err
	}
	return unpack(b, v)
}

func (s *Shelf) packed(p Place) ([]byte, error) {
	b := make([]byte, p.size)
	_, err := s.file.ReadAt(b, p.from)
	return b, err
}

// Close does away with the shelf and what is on it.
func (s *Shelf) Close() error {
	err := s.file.Close()
	_ = os.Remove(s.file.Name())
	return err
}
