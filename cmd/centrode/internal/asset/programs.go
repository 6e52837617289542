package asset

import (
	"path/filepath"

	"github.com/evanw/esbuild/pkg/api"
)

// Keeper returns theme/offline/worker.js with all that it imports as one script: the service worker, which asks for an
// edition before it.
func Keeper(o Options) (string, error) {
	result := api.Build(api.BuildOptions{
		AbsWorkingDir: filepath.Join(o.Root, "theme"), EntryPoints: []string{"offline/worker.js"},
		Bundle: true, Format: api.FormatIIFE, Target: api.ES2022, Charset: api.CharsetUTF8,
		MinifyWhitespace: true, MinifyIdentifiers: true, MinifySyntax: true,
		LegalComments: api.LegalCommentsNone, TsconfigRaw: "{}", LogLevel: api.LogLevelSilent,
	})
	if len(result.Errors) > 0 {
		return "", messages(result.Errors)
	}
	return string(result.OutputFiles[0].Contents), nil
}
