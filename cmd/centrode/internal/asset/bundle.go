package asset

import (
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"github.com/evanw/esbuild/pkg/api"
)

// programs are the files that are loaded by name; all else is reached from them. The worker is a program of its own and
// shares no file with the pages, which would have to wait for one more.
var programs = [][]string{{"styles/site.css", "scripts/site.js"}, {"scripts/worker.js"}}

// bundle joins and shortens styles and scripts. Modules that are imported dynamically become files of their own, so that
// the engine loads only when a plate needs it; where two programs have the same one, it is one file.
func bundle(o Options, t tools) (*Set, error) {
	all := newSet()
	var wrong []error
	for _, entries := range programs {
		s, err := bundleOne(o, t, entries)
		if err != nil {
			wrong = append(wrong, err)
			continue
		}
		maps.Copy(all.names, s.names)
		maps.Copy(all.Files, s.Files)
	}
	return all, errors.Join(wrong...)
}

func bundleOne(o Options, t tools, entries []string) (*Set, error) {
	theme := filepath.Join(o.Root, "theme")
	result := api.Build(api.BuildOptions{
		AbsWorkingDir:     theme,
		EntryPoints:       entries,
		Bundle:            true,
		Splitting:         true,
		Format:            api.FormatESModule,
		Target:            api.ES2022,
		Charset:           api.CharsetUTF8,
		MinifyWhitespace:  true,
		MinifyIdentifiers: true,
		MinifySyntax:      true,
		LegalComments:     api.LegalCommentsNone, // kept whole in licences.txt
		Outdir:            Dir,
		EntryNames:        "[name].[hash]",
		ChunkNames:        "[name].[hash]",
		AssetNames:        "[name].[hash]",
		PublicPath:        "/" + Dir + "/",
		Loader:            map[string]api.Loader{".woff2": api.LoaderFile, ".woff": api.LoaderEmpty, ".svg": api.LoaderFile},
		Plugins:           []api.Plugin{goRuntime(t.goRoot)},
		Metafile:          true,
		TsconfigRaw:       "{}", // a tsconfig.json in theme is for the type checker
		LogLevel:          api.LogLevelSilent,
	})
	if len(result.Errors) > 0 {
		return nil, messages(result.Errors)
	}
	return collect(theme, result)
}

// goRuntime resolves any import of wasm_exec.js to the one of the Go distribution that compiles the calculators: the
// two belong together. The namespace keeps the distribution's place out of the hashes.
func goRuntime(goRoot string) api.Plugin {
	return api.Plugin{Name: "go-runtime", Setup: func(b api.PluginBuild) {
		b.OnResolve(api.OnResolveOptions{Filter: `(^|/)wasm_exec\.js$`}, func(api.OnResolveArgs) (api.OnResolveResult, error) {
			return api.OnResolveResult{Path: "wasm_exec.js", Namespace: "go", SideEffects: api.SideEffectsTrue}, nil
		})
		b.OnLoad(api.OnLoadOptions{Filter: ".*", Namespace: "go"}, func(api.OnLoadArgs) (api.OnLoadResult, error) {
			data, err := os.ReadFile(filepath.Join(goRoot, "lib", "wasm", "wasm_exec.js"))
			if err != nil {
				return api.OnLoadResult{}, err
			}
			text := string(data)
			return api.OnLoadResult{Contents: &text, Loader: api.LoaderJS}, nil
		})
	}}
}

// collect turns esbuild's output files into a Set, named by what they were made from.
func collect(theme string, result api.BuildResult) (*Set, error) {
	var meta struct {
		Outputs map[string]struct {
			EntryPoint string              `json:"entryPoint"`
			Inputs     map[string]struct{} `json:"inputs"`
		} `json:"outputs"`
	}
	if err := json.Unmarshal([]byte(result.Metafile), &meta); err != nil {
		return nil, fmt.Errorf("the bundler's report of its outputs: %w", err)
	}
	s := newSet()
	for _, file := range result.OutputFiles {
		rel, err := filepath.Rel(theme, file.Path)
		if err != nil {
			return nil, err
		}
		name := filepath.ToSlash(rel)
		s.Files[name] = file.Contents
		out := meta.Outputs[name]
		if out.EntryPoint != "" {
			s.names[path.Base(out.EntryPoint)] = name
		} else if len(out.Inputs) == 1 {
			for input := range out.Inputs { // a font or a picture; a split script has a name too, which does no harm
				s.names[path.Base(input)] = name
			}
		}
	}
	return s, nil
}

// messages prints the bundler's complaints as file:line: text, advice after the verdict.
func messages(list []api.Message) error {
	var lines []string
	for _, m := range list {
		text := m.Text
		if m.Location != nil {
			text = fmt.Sprintf("theme/%s:%d: %s", m.Location.File, m.Location.Line, text)
			if m.Location.Suggestion != "" {
				text += "; nearest: " + m.Location.Suggestion
			}
		}
		for _, n := range m.Notes {
			text += " (" + n.Text + ")"
		}
		lines = append(lines, strings.Join(strings.Fields(text), " "))
	}
	slices.Sort(lines)
	return errors.New(strings.Join(lines, "\n"))
}
