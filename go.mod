module tillproof

go 1.26.0

require github.com/shopspring/decimal v1.6.0 // indirect
