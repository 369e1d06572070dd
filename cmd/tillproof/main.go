// Command tillproof checks what a till actually did against what a planned
// basket should have cost. One file holds one command; run.go puts them
// together, exit.go decides every exit code.
package main

import (
	"context"
	"os"
	"os/signal"

	"tillproof/cmd/intake"
	"tillproof/ocr/worker"
)

func main() {
	intake.Maybe() // a child of this program that only opens a file never gets further
	worker.Maybe() // a child of this program that only reads lines never gets further

	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	code := run(ctx, os.Args[1:], streams{os.Stdin, os.Stdout, os.Stderr})
	stop()
	os.Exit(code)
}
