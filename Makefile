# One command per job; each installs what it needs first.
GO = $(or $(shell .ci/setup),$(error setting up failed, see above))
DATA ?= ../shared/data
# HEIC photos are read by the library that is linked, whatever is installed.
export GOFLAGS := $(GOFLAGS) -tags=nodynamic

help: ## list these targets
	@grep -hE '^[a-z]+:.*##' Makefile | sed -E 's/:.*## /\t/' | expand -t 10

demo: build ## check the demo trip's photos against its plan
	@fixtures/demo/run bin/tillproof

build: ## build bin/tillproof, and its manual pages in build/man
	@$(GO) build -o bin/tillproof ./cmd/tillproof
	@bin/tillproof man build/man

test: ## vet, and run every test that is fast
	@.ci/test "$(GO)"

update: ## rewrite the golden files of the tests (then review the diff)
	$(GO) test ./plan ./plan/merge ./plan/draft ./report/planpage ./parse ./audit ./cmd/tillproof -update

score: ## measure reading and checking on open data (DATA=folder) and drawn receipts
	$(GO) run ./fixtures/score -data "$(DATA)"

bench: ## run the benchmarks
	$(GO) test -run '^$$' -bench . -benchmem ./...

model: ## train the reading model anew (DATA=folder; about four hours)
	@.ci/setup training >/dev/null
	$(GO) run ./ocr/train -data "$(DATA)" -out ocr/model/receipts.traineddata
	$(GO) run ./ocr/train -data "$(DATA)" -from ocr/model/receipts.traineddata -lessons hard -seed 11 -out ocr/model/receipts.traineddata
	$(GO) run ./ocr/train -data "$(DATA)" -from ocr/model/receipts.traineddata -lessons both -seed 22 -out ocr/model/receipts.traineddata

.PHONY: help demo build test update score bench model
.DEFAULT_GOAL := help
