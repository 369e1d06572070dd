package week

import (
	"slices"
	"testing"

	"tillproof/parse"
)

func TestLegible(t *testing.T) {
	photo := func() *parse.Receipt {
		r := parse.Parse(nil, parse.Options{})
		*r = *assess(t, twoTrips, nil, "a.txt", breakfast).Receipts[0].Read
		r.Lines = slices.Clone(r.Lines)
		for i := range r.Lines {
			r.Lines[i].Photo, r.Lines[i].Confidence, r.Lines[i].Box = 1, 0.95, &parse.Box{100, 40 * i, 600, 30}
		}
		return r
	}
	pages := []PageSize{{800, 1000}}
	for _, c := range []struct {
		why    string
		change func(r *parse.Receipt)
		want   []string
	}{
		{"all there", func(r *parse.Receipt) {}, nil},
		{"no date, lower edge cut", func(r *parse.Receipt) { r.Date, r.DateOther, r.Complete.Bottom = "", "", false }, []string{"the date was not read", "the lower edge is not in the picture"}},
		{"a qualifying line is blurred", func(r *parse.Receipt) { r.Lines[2].Confidence = 0.4 }, []string{"line 3, which qualifies, cannot be read for sure"}},
		{"another line is blurred", func(r *parse.Receipt) { r.Lines[5].Confidence = 0.4 }, nil},
		{"a side is cut off", func(r *parse.Receipt) { r.Lines[4].Box = &parse.Box{0, 100, 700, 30} }, []string{"print runs over the left side of the picture"}},
		{"no total, no time", func(r *parse.Receipt) { r.Total, r.Time = nil, "" }, []string{"the time was not read", "the total was not read"}},
	} {
		r := photo()
		r.DateOther = ""
		c.change(r)
		if got := Legible(r, []int{3}, pages); !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", c.why, got, c.want)
		}
	}
}
