package parse

type candidate struct {
	cents int64
	cost  float64
}

func (p *parser) repair()  {}
func (w *row) clear() bool { return true }
