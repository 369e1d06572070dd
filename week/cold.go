package week

import (
	"bytes"
	"compress/flate"
	"encoding/json"
	"fmt"
	"io"

	"tillproof/money"
	"tillproof/parse"
)

// cold is a receipt that was read, packed small: of a large folder only the few
// receipts that are being looked at are there in full.
type cold struct {
	packed []byte
	text   bool
	// quality and amounts are what tells copies, as of quality and amountsOf.
	quality int
	amounts []money.Amount
}

// cool packs r, and returns it with what stands in its head alone.
func cool(r *parse.Receipt) (*parse.Receipt, *cold) {
	var b bytes.Buffer
	z, err := flate.NewWriter(&b, flate.BestSpeed)
	if err == nil {
		err = json.NewEncoder(z).Encode(r)
	}
	if err == nil {
		err = z.Close()
	}
	if err != nil {
		panic(fmt.Sprintf("week: a receipt cannot be packed: %v", err)) // texts and numbers always can
	}
	head := *r
	head.Lines, head.Messages, head.Sums, head.Warnings, head.Photos = nil, nil, nil, nil, nil
	return &head, &cold{bytes.Clone(b.Bytes()), isText(r), quality(r), amountsOf(r)}
}

// warm returns the receipt that cool packed, with the dates that were settled
// in head since.
func (c *cold) warm(head *parse.Receipt) *parse.Receipt {
	text, err := io.ReadAll(flate.NewReader(bytes.NewReader(c.packed)))
	r := new(parse.Receipt)
	if err == nil {
		err = json.Unmarshal(text, r)
	}
	if err != nil {
		panic(fmt.Sprintf("week: a packed receipt cannot be opened: %v", err)) // it was packed by this program in this run
	}
	r.Date, r.DateOther = head.Date, head.DateOther
	return r
}

// full is all that was read of r.
func (r *Receipt) full() *parse.Receipt {
	if r.cold == nil {
		return r.Read
	}
	return r.cold.warm(r.Read)
}

func (r *Receipt) isText() bool {
	if r.cold == nil {
		return isText(r.Read)
	}
	return r.cold.text
}

func (r *Receipt) quality() int {
	if r.cold == nil {
		return quality(r.Read)
	}
	return r.cold.quality
}

func (r *Receipt) amounts() []money.Amount {
	if r.cold == nil {
		return amountsOf(r.Read)
	}
	return r.cold.amounts
}
