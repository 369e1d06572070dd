// Package match decides which line of a receipt is which planned item, offer
// or credit: in one assignment over the whole receipt, not first come.
package match

// Match is one planned thing and the receipt's lines that show it.
type Match struct {
	// Item or Offer is the id; exactly one is set, but for the savings line of
	// an item's own sale price, which has Item and Sale.
	Item  string `json:"item,omitempty"`
	Offer string `json:"offer,omitempty"`
	Sale  bool   `json:"sale,omitempty"`
	// Lines are line numbers of the receipt, in order.
	Lines []int   `json:"lines"`
	Score float64 `json:"score"` // 0 to 1
	By    By      `json:"by"`
}

// By says what made the match.
type By string

// What makes a match.
const (
	ByCode        By = "code"
	ByPrintsAs    By = "prints_as"
	ByName        By = "name"
	ByPrice       By = "price"
	ByElimination By = "elimination"
)
