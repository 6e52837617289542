package asset

import (
	"path/filepath"

	"github.com/evanw/esbuild/pkg/api"
)

// Indexer returns theme/scripts/find.js with the library of the search, as one script whose exports are the properties
// of a global called find. The build runs it in its own JavaScript engine, hence the older target. It needs what
// Prepare brings.
func Indexer(o Options) (string, error) {
	result := api.Build(api.BuildOptions{
		AbsWorkingDir: filepath.Join(o.Root, "theme"),
		EntryPoints:   []string{"scripts/find.js"},
		Bundle:        true,
		Format:        api.FormatIIFE,
		GlobalName:    "find",
		Target:        api.ES2017,
		Charset:       api.CharsetUTF8,
		LegalComments: api.LegalCommentsNone,
		TsconfigRaw:   "{}",
		LogLevel:      api.LogLevelSilent,
	})
	if len(result.Errors) > 0 {
		return "", messages(result.Errors)
	}
	return string(result.OutputFiles[0].Contents), nil
}
