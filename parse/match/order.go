package match

// brandMoved is what a name loses where a till prints its first word, mostly
// the brand, further back ("CRUNCHY MUESLI BRAC 750G").
const brandMoved = 3

// likestOrder returns the order of full in which printed is most like it: as it
// stands, or with its first word further back. It is asked for only where the
// name as it stands is not nearly certain.
func likestOrder(printed, full *name) (best *name, score int) {
	best, score = full, likeness(printed, full)
	if score >= 90 || len(full.words) < 3 || len(printed.words) < 2 {
		return best, score
	}
	for to := 1; to < len(full.words); to++ {
		moved := name{size: full.size, words: make([]word, 0, len(full.words))}
		moved.words = append(moved.words, full.words[1:to+1]...)
		moved.words = append(moved.words, full.words[0])
		moved.words = append(moved.words, full.words[to+1:]...)
		if s := likeness(printed, &moved) - brandMoved; s > score {
			best, score = &moved, s
		}
	}
	return best, score
}
