package audit

import "strings"

// everyItem reports whether all that was planned is on the receipt, several goods.
func (c *check) everyItem() bool {
	for i := range c.m.Items {
		if len(c.m.Items[i].Entries) == 0 {
			return false
		}
	}
	return len(c.m.Items) >= severalItems
}

// severalItems is how many goods together another store's receipt hardly has.
const severalItems = 4

// leastLegible is the confidence from which a store's name counts as read.
const leastLegible = 0.6

// storeUnread reports whether on a photo what was taken for the store's name was hardly read,
// or a line stands above it that could not be: that may be the name, and this its motto.
func (c *check) storeUnread() bool {
	for i := range c.r.Lines {
		l := &c.r.Lines[i]
		if l.Unread {
			return l.Photo != 0
		}
		if strings.Contains(l.Text, c.r.Store) {
			return l.Photo != 0 && l.Confidence < leastLegible
		}
	}
	return false
}
