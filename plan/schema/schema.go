// Package schema holds JSON Schemas (draft 2020-12) of plan files and store
// files, with which an editor completes fields and marks mistakes.
//
// Plan and Store are their texts. A schema never refuses a file that package
// plan takes; what needs more than the file's shape, only package plan refuses.
package schema

import _ "embed"

// Plan is the schema of plan files.
//
//go:embed plan.schema.json
var Plan string

// Store is the schema of store files.
//
//go:embed store.schema.json
var Store string
