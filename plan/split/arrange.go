package split

import (
	"slices"

	"tillproof/plan"
)

// maxChoices bounds the places that are tried for a group's transactions.
const maxChoices = 5000

// arrange lays the divisions of groups over one another: since groups do not
// influence each other, their transactions of one day may be made together. Each
// group's keep their order, and stay with the planned transaction that has most
// of their units.
func (t *trip) arrange(groups []*group) []bin {
	var all []bin
	for at := range t.days {
		d := &t.days[at]
		places := make([]bin, len(d.planned))
		most := len(places)
		for _, g := range groups {
			most = max(most, len(g.on(at)))
		}
		for len(places) < most {
			places = append(places, bin{})
		}
		for i := range places {
			places[i] = bin{day: at, counts: make([]int, len(t.products))}
		}
		for _, g := range groups {
			bins := g.on(at)
			for k, place := range t.places(d, g, bins, most) {
				places[place].tender = bins[k].tender
				for i, n := range bins[k].counts {
					places[place].counts[i] += n
				}
			}
		}
		t.label(d, places)
		all = append(all, slices.DeleteFunc(places, bin.empty)...)
	}
	return all
}

// on are the group's transactions on a day.
func (g *group) on(day int) []bin {
	var bins []bin
	for _, b := range g.bins {
		if b.day == day {
			bins = append(bins, b)
		}
	}
	return bins
}

// places says which of a day's most transactions each of bins goes to.
func (t *trip) places(d *day, g *group, bins []bin, most int) []int {
	if at := planned(d, bins); at != nil {
		return at
	}
	if len(d.tenders) > 1 { // one group is all there is, and in which order it is paid matters
		return ascending(len(bins))
	}
	if !g.ordered {
		slices.SortStableFunc(bins, func(a, b bin) int { return t.nearest(d, a) - t.nearest(d, b) })
	}
	best, score, tried := ascending(len(bins)), -1, 0
	at := ascending(len(bins))
	for tried < maxChoices {
		sum := 0
		for k, place := range at {
			sum += t.overlap(d, bins[k], place)
		}
		if sum > score {
			best, score = slices.Clone(at), sum
		}
		if tried++; !nextAscending(at, most) {
			break
		}
	}
	return best
}

// planned are the places of bins that are all kept as the day's planned
// transactions; nil where they are not.
func planned(d *day, bins []bin) []int {
	var at []int
	for _, b := range bins {
		place := slices.Index(d.planned, b.from)
		if b.from == nil || place < 0 {
			return nil
		}
		at = append(at, place)
	}
	return at
}

func ascending(n int) []int {
	list := make([]int, n)
	for i := range list {
		list[i] = i
	}
	return list
}

// nextAscending counts at on to the next ascending choice of numbers below n.
func nextAscending(at []int, n int) bool {
	for k := len(at) - 1; k >= 0; k-- {
		if at[k] < n-len(at)+k {
			at[k]++
			for j := k + 1; j < len(at); j++ {
				at[j] = at[j-1] + 1
			}
			return true
		}
	}
	return false
}

// overlap is how many units of b are planned for the day's transaction at place.
func (t *trip) overlap(d *day, b bin, place int) int {
	if place >= len(d.planned) {
		return 0
	}
	n := 0
	for i, count := range b.counts {
		if count > 0 {
			n += min(count, t.products[i].planned[d.planned[place].Index])
		}
	}
	return n
}

func (t *trip) nearest(d *day, b bin) int {
	best := 0
	for place := range d.planned {
		if t.overlap(d, b, place) > t.overlap(d, b, best) {
			best = place
		}
	}
	return best
}

// label says which planned transaction each one is kept as, where one fits.
func (t *trip) label(d *day, places []bin) {
	if len(d.tenders) == 1 {
		for i := range min(len(places), len(d.planned)) {
			places[i].from = d.planned[i]
		}
		return
	}
	used := map[*plan.Transaction]bool{}
	for i := range places {
		for k, tx := range d.planned {
			from := places[i].from
			fits := !used[tx] && kinds(usual(tx)) == kinds(d.tenders[places[i].tender]) && !places[i].empty()
			if fits && (from == nil || t.overlap(d, places[i], k) > t.overlap(d, places[i], slices.Index(d.planned, from))) {
				places[i].from = tx
			}
		}
		used[places[i].from] = true
	}
}
