package asset

import (
	"path/filepath"

	"github.com/evanw/esbuild/pkg/api"
)

// Indexer returns theme/scripts/find.js with the library of the search, as one script whose exports are the properties
// of a global called find. The build runs it in its own JavaScript engine, hence the older target. It needs what
// Prepare brings.
func Indexer(o Options) (string, error) {
	return whole(o, "scripts/find.js", api.BuildOptions{GlobalName: "find", Target: api.ES2017})
}

// Keeper returns theme/offline/worker.js as one script: the service worker, which asks for an edition before it.
func Keeper(o Options) (string, error) {
	return whole(o, "offline/worker.js", api.BuildOptions{Target: api.ES2022, MinifyWhitespace: true, MinifyIdentifiers: true, MinifySyntax: true})
}

// whole joins a script and all that it imports.
func whole(o Options, entry string, options api.BuildOptions) (string, error) {
	options.AbsWorkingDir = filepath.Join(o.Root, "theme")
	options.EntryPoints = []string{entry}
	options.Bundle, options.Format, options.Charset = true, api.FormatIIFE, api.CharsetUTF8
	options.LegalComments, options.TsconfigRaw, options.LogLevel = api.LegalCommentsNone, "{}", api.LogLevelSilent
	result := api.Build(options)
	if len(result.Errors) > 0 {
		return "", messages(result.Errors)
	}
	return string(result.OutputFiles[0].Contents), nil
}
