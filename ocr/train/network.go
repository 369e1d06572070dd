package main

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math"
)

// The serialised network of Tesseract 5.3, as its src/lstm/network.cpp,
// plumbing.cpp, lstm.cpp, fullyconnected.cpp and weightmatrix.cpp write it.
// All numbers are little-endian. Only the layers that the models of the
// English language pack are made of are known here; any other is refused.

// Bits of the mode byte before each weight matrix.
const (
	modeInt8   = 1
	modeAdam   = 4
	modeDouble = 128
)

// Bits of network and recogniser flags.
const (
	flagLayerRates = 64 // a learning rate for each layer follows the layers
	flagIntModel   = 1  // the recogniser works on eight-bit weights
)

// matrix is one weight matrix: a row for each output, a column for each input,
// the bias last.
type matrix struct {
	rows, cols int
	weights    []float64
}

// network is a model read for changing its weights: the bytes between the
// matrices are kept as they are.
type network struct {
	head     [][]byte // head[i] stands before matrices[i]; one more at the end
	matrices []matrix
	trailer  trailer
}

// trailer is what LSTMRecognizer::Serialize writes behind the network.
type trailer struct {
	spec                          string
	flags, iteration, samples     int32
	nullChar                      int32
	adamBeta, learnRate, momentum float32
}

var errShort = errors.New("the model file ends too early")

// cursor reads a model file; after the first fault every read gives zero.
type cursor struct {
	data []byte
	pos  int
	err  error
}

func (c *cursor) take(n int) []byte {
	if c.err != nil || n < 0 || c.pos+n > len(c.data) {
		if c.err == nil {
			c.err = errShort
		}
		return make([]byte, max(0, min(n, 8)))
	}
	b := c.data[c.pos : c.pos+n]
	c.pos += n
	return b
}

func (c *cursor) u8() byte     { return c.take(1)[0] }
func (c *cursor) u32() uint32  { return binary.LittleEndian.Uint32(c.take(4)) }
func (c *cursor) i32() int32   { return int32(c.u32()) }
func (c *cursor) f32() float32 { return math.Float32frombits(c.u32()) }
func (c *cursor) f64() float64 { return math.Float64frombits(binary.LittleEndian.Uint64(c.take(8))) }
func (c *cursor) text() string { return string(c.take(int(c.u32()))) }

// readNetwork reads the `lstm` component of a traineddata file whose character
// set is a component of its own (as in all packs since version 4.1).
func readNetwork(data []byte) (*network, error) {
	c := &cursor{data: data}
	n := &network{}
	start := n.layer(c, 0)
	n.head = append(n.head, c.data[min(start, c.pos):c.pos])
	t := &n.trailer
	t.spec = c.text()
	t.flags, t.iteration, t.samples, t.nullChar = c.i32(), c.i32(), c.i32(), c.i32()
	t.adamBeta, t.learnRate, t.momentum = c.f32(), c.f32(), c.f32()
	if c.err != nil {
		return nil, c.err
	}
	if c.pos != len(data) {
		return nil, fmt.Errorf("%d unknown bytes behind the network: was it written by another version?", len(data)-c.pos)
	}
	return n, nil
}

// layer reads one layer and those inside it. start is where the bytes begin
// that no head holds yet; the new one is returned.
func (n *network) layer(c *cursor, start int) int {
	if c.u8() != 0 {
		c.err = errors.New("layer types by number are not known")
		return start
	}
	kind := c.text()
	c.take(2) // training state, whether errors go back through it
	flags, inputs := c.i32(), c.i32()
	c.take(8) // outputs, number of weights
	c.text()  // its name
	if c.err != nil {
		return start
	}
	switch kind {
	case "Input":
		c.take(20)
	case "Convolve", "Maxpool", "Reconfig":
		c.take(8)
	case "Series", "Parallel", "Replicated", "ParBidiLSTM", "RTLReversed", "TTBReversed", "XYTranspose":
		for i := c.u32(); i > 0 && c.err == nil; i-- {
			start = n.layer(c, start)
		}
		if flags&flagLayerRates != 0 {
			c.take(4 * int(c.u32()))
		}
	case "LSTM", "SummLSTM":
		width := c.i32()
		start = n.matrix(c, start)
		gates := 4
		if len(n.matrices) > 0 && int(width) == int(inputs)+2*n.matrices[len(n.matrices)-1].rows {
			gates = 5 // two-dimensional: a second forget gate
		}
		for i := 1; i < gates && c.err == nil; i++ {
			start = n.matrix(c, start)
		}
	case "Logistic", "LinLogistic", "LinTanh", "Tanh", "Relu", "Linear", "Softmax", "SoftmaxNoCTC":
		start = n.matrix(c, start)
	default:
		c.err = fmt.Errorf("layer %q is not known", kind)
	}
	return start
}

// matrix reads one weight matrix, whole numbers or doubles.
func (n *network) matrix(c *cursor, start int) int {
	n.head = append(n.head, c.data[start:min(c.pos, len(c.data))])
	mode := c.u8()
	if c.err == nil && mode&modeDouble == 0 {
		c.err = errors.New("a weight matrix in the format before version 4.0 is not known")
	}
	m := matrix{rows: int(c.u32()), cols: int(c.u32())}
	if c.err != nil || m.rows*m.cols > len(c.data) {
		c.err = errors.Join(c.err, errShort)
		return c.pos
	}
	m.weights = make([]float64, m.rows*m.cols)
	if mode&modeInt8 != 0 {
		c.take(1) // the value of empty cells
		values := c.take(len(m.weights))
		// A model written on a machine with vector instructions has more scales
		// than rows, to fill the vectors.
		scales := int(c.u32())
		if scales < m.rows || c.err != nil {
			c.err = errors.Join(c.err, errors.New("a weight matrix has no scale for each row"))
			return c.pos
		}
		for r := range m.rows {
			scale := c.f64()
			for k := range m.cols {
				m.weights[r*m.cols+k] = float64(int8(values[r*m.cols+k])) * scale
			}
		}
		c.take(8 * (scales - m.rows))
	} else {
		c.take(8)
		for i := range m.weights {
			m.weights[i] = c.f64()
		}
	}
	n.matrices = append(n.matrices, m)
	return c.pos
}

// bytes writes n with its weights as doubles, ready for lstmtraining to go on
// from: not an integer model, and its iterations counted from zero, so that
// the bias correction of Adam starts afresh.
func (n *network) bytes() []byte {
	var b []byte
	for i, m := range n.matrices {
		b = append(b, n.head[i]...)
		b = append(b, modeAdam|modeDouble)
		b = binary.LittleEndian.AppendUint32(b, uint32(m.rows))
		b = binary.LittleEndian.AppendUint32(b, uint32(m.cols))
		b = appendF64(b, 0)
		for _, w := range m.weights {
			b = appendF64(b, w)
		}
	}
	b = append(b, n.head[len(n.head)-1]...)
	t := n.trailer
	b = appendText(b, t.spec)
	for _, v := range []int32{t.flags &^ flagIntModel, 0, 0, t.nullChar} {
		b = binary.LittleEndian.AppendUint32(b, uint32(v))
	}
	for _, v := range []float32{t.adamBeta, t.learnRate, t.momentum} {
		b = binary.LittleEndian.AppendUint32(b, math.Float32bits(v))
	}
	return b
}

// average gives the mean of the weights of networks of one shape. Stochastic
// steps scatter around the optimum; the mean of several lies nearer to it than
// each of them.
func average(ns []*network) (*network, error) {
	if len(ns) == 0 {
		return nil, errors.New("no networks to average")
	}
	mean := &network{head: ns[0].head, trailer: ns[0].trailer}
	for i, m := range ns[0].matrices {
		sum := matrix{rows: m.rows, cols: m.cols, weights: make([]float64, len(m.weights))}
		for _, n := range ns {
			if len(n.matrices) != len(ns[0].matrices) || n.matrices[i].rows != m.rows || n.matrices[i].cols != m.cols {
				return nil, errors.New("networks of different shapes cannot be averaged")
			}
			for k, w := range n.matrices[i].weights {
				sum.weights[k] += w / float64(len(ns))
			}
		}
		mean.matrices = append(mean.matrices, sum)
	}
	return mean, nil
}

func appendF64(b []byte, v float64) []byte {
	return binary.LittleEndian.AppendUint64(b, math.Float64bits(v))
}

func appendText(b []byte, s string) []byte {
	b = binary.LittleEndian.AppendUint32(b, uint32(len(s)))
	return append(b, s...)
}
