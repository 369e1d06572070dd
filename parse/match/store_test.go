package match

import (
	"testing"

	"tillproof/parse"
)

func TestSameStore(t *testing.T) {
	for _, c := range []struct {
		read, store string
		want        bool
	}{
		{"HARBOR LANE MARKET", "Harbor Lane Market", true},
		{"HARBOR LANE MKT #12", "Harbor Lane Market", true},
		{"HARBOR LANE MARKET SEAFORD", "Harbor Lane Market", true},
		{"HARB0R LANF MARKET", "Harbor Lane Market", true},
		{"Hrbr Lne Mrket", "Harbor Lane Market", true},
		{"MARKET", "Harbor Lane Market", true}, // all that was read of it
		{"Lane Marke", "Harbor Lane Market", true},
		{"Keming Sreet", "Kenning Street Grocery", true}, // letters lost, and cut short
		{"QUILLON FOODS", "Harbor Lane Market", false},
		{"BIRCH ROAD STORES", "Harbor Lane Market", false},
		{"HILL LANE BAKERY", "Harbor Lane Market", false},
		{"12 QUAY STREET", "Harbor Lane Market", false},
	} {
		if got := SameStore(c.store, &parse.Receipt{Store: c.read}); got != c.want {
			t.Errorf("SameStore(%q, %q) = %v, want %v", c.store, c.read, got, c.want)
		}
	}
}
