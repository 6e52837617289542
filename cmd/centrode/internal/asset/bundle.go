package asset

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"github.com/evanw/esbuild/pkg/api"
)

// program is a set of files that are loaded by name, in one language; all else is reached from them.
type program struct {
	entries  []string
	language string // "" for the first, else the tag that its files' names carry: site-de.js
}

// spoken are the programs that carry words of the interface. Every language has its own of each, so that a page loads
// only the words it may say. The fitting room's is loaded by its page alone.
var spoken = []string{"scripts/site.js", "scripts/room.js"}

// ownStyles are named after the one kind of page that loads each behind the styles of all. They are a fifth of all styles, and with
// them those of all would not come in the first ten packets that a server sends.
var ownStyles = []string{"styles/room.css", "styles/sheet.css", "styles/specimens.css"}

// programs lists what pages load. The workers are programs of their own and share no file with the pages, which would have
// to wait for one more. What draws in WebGL is one, too: its library is optional. The head's runs before a page
// is painted, and has the first come after.
func programs(o Options) ([]program, error) {
	list := []program{{entries: append([]string{"styles/site.css", spoken[0]}, ownStyles...)}, {entries: spoken[1:]}, {entries: []string{"scripts/worker.js"}}, {entries: []string{"scripts/roomworker.js"}},
		{entries: []string{"scripts/head.js"}}}
	if lack := lacksDrawing(o); lack == "" {
		list = append(list, program{entries: []string{"scripts/ink.js"}})
	} else {
		o.note("The fitting room is built without its drawing in WebGL: " + lack + ".")
	}
	files, err := fs.Glob(o.theme(), "words/*.json")
	for _, file := range files {
		tag := strings.TrimSuffix(path.Base(file), ".json")
		if tag == baseLanguage || strings.Contains(tag, ".") {
			continue
		}
		for _, script := range spoken {
			list = append(list, program{[]string{script}, tag})
		}
	}
	return list, err
}

// baseLanguage is the file that scripts import; in the bundle of another language that language's stands in its place.
const baseLanguage = "en"

// bundle joins and shortens styles and scripts. Modules that are imported dynamically become files of their own, so that
// the engine loads only when a plate needs it; where two programs have the same one, it is one file.
func bundle(o Options, t tools) (*Set, error) {
	made := newSet()
	var wrong []error
	list, err := programs(o)
	if err != nil {
		return nil, err
	}
	for _, p := range list {
		s, err := bundleOne(o, t, p)
		if err != nil {
			wrong = append(wrong, err)
			continue
		}
		maps.Copy(made.names, s.names)
		maps.Copy(made.Files, s.Files)
	}
	return made, errors.Join(wrong...)
}

func bundleOne(o Options, t tools, p program) (*Set, error) {
	theme, name := filepath.Join(o.Root, "theme"), "[name]"
	if p.language != "" {
		name += "-" + p.language
	}
	result := api.Build(api.BuildOptions{
		AbsWorkingDir:     theme,
		EntryPoints:       p.entries,
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
		EntryNames:        name + ".[hash]",
		ChunkNames:        "[name].[hash]",
		AssetNames:        "[name].[hash]",
		PublicPath:        "/" + Dir + "/",
		Loader:            map[string]api.Loader{".woff2": api.LoaderFile, ".woff": api.LoaderEmpty, ".svg": api.LoaderFile},
		Plugins:           []api.Plugin{goRuntime(t.goRoot), wordsOf(theme, cmp.Or(p.language, baseLanguage)), fonts(o), colours(o)},
		Metafile:          true,
		TsconfigRaw:       "{}", // a tsconfig.json in theme is for the type checker
		LogLevel:          api.LogLevelSilent,
	})
	if len(result.Errors) > 0 {
		return nil, messages(result.Errors)
	}
	return collect(theme, result, p.language)
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

// wordsOf puts the words of one language in the place of those that scripts import. Every script gets a copy of its own,
// of which only the words it uses stay: as one module they would be a file apart, for which a page would have to wait.
func wordsOf(theme, language string) api.Plugin {
	return api.Plugin{Name: "words", Setup: func(b api.PluginBuild) {
		b.OnResolve(api.OnResolveOptions{Filter: `(^|/)words/` + baseLanguage + `(\.\w+)?\.json$`}, func(a api.OnResolveArgs) (api.OnResolveResult, error) {
			from, err := filepath.Rel(theme, a.Importer) // the project's place stays out of the hashes
			name := language + strings.TrimPrefix(path.Base(a.Path), baseLanguage)
			return api.OnResolveResult{Path: name + " for " + filepath.ToSlash(from), Namespace: "words", SideEffects: api.SideEffectsFalse}, err
		})
		b.OnLoad(api.OnLoadOptions{Filter: ".*", Namespace: "words"}, func(a api.OnLoadArgs) (api.OnLoadResult, error) {
			name, _, _ := strings.Cut(a.Path, " ")
			data, err := os.ReadFile(filepath.Join(theme, "words", name))
			if errors.Is(err, fs.ErrNotExist) && name != language+".json" {
				english := baseLanguage + strings.TrimPrefix(name, language)
				if _, err = os.Stat(filepath.Join(theme, "words", english)); err == nil {
					data = []byte("{}") // a language in the making has not all of it, and says the rest in English
				} else {
					err = errors.New("words/" + english + ": is no file") // of a misspelt name no language has anything
				}
			}
			text := string(data)
			return api.OnLoadResult{Contents: &text, Loader: api.LoaderJSON}, err
		})
	}}
}

// output is what the bundler tells of a file that it made.
type output struct {
	EntryPoint string              `json:"entryPoint"`
	Inputs     map[string]struct{} `json:"inputs"`
	Imports    []struct {
		Path string `json:"path"`
		Kind string `json:"kind"`
	} `json:"imports"`
}

// withImports lists a script and all that must have come before it runs: what it imports, and what those import.
func withImports(all map[string]output, script string) []string {
	list := []string{script}
	for i := 0; i < len(list); i++ { // it grows meanwhile
		for _, m := range all[list[i]].Imports {
			if m.Kind == "import-statement" && !slices.Contains(list, m.Path) {
				list = append(list, m.Path)
			}
		}
	}
	return list
}

// collect turns esbuild's output files into a Set, named by what they were made from.
func collect(theme string, result api.BuildResult, language string) (*Set, error) {
	var meta struct {
		Outputs map[string]output `json:"outputs"`
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
			plain := path.Base(out.EntryPoint)
			if language != "" {
				plain = strings.TrimSuffix(plain, path.Ext(plain)) + "-" + language + path.Ext(plain)
			}
			s.names[plain] = name
			if script, ok := strings.CutSuffix(plain, ".js"); ok {
				s.names[script+".modules"] = strings.Join(withImports(meta.Outputs, name), " /")
			}
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
