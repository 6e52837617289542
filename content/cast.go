// Package content carries the measures of the invented cast into the command, so that it answers with them in any folder. Cast is all there
// is: what else lies beside it is read from the disk when the site is made.
package content

import "embed"

// Cast holds the files of the folder cast.
//
//go:embed cast/*.yaml
var Cast embed.FS
