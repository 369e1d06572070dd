package parse

import "tillproof/ocr"

func mendWords(words []ocr.Word) []ocr.Word { return words }
