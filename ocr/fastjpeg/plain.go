//go:build !cgo

package fastjpeg

import (
	"image"

	"tillproof/ocr"
)

// Decode is ocr.DecodeJPEG.
func Decode(data []byte, shrink int) (*image.Gray, error) { return ocr.DecodeJPEG(data, shrink) }
