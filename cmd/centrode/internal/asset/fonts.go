package asset

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"sync"

	"github.com/evanw/esbuild/pkg/api"
)

// face is one font file that theme/styles/fonts.css names, and what of it the pages need.
type face struct {
	name     string          // its family once it is cut; the licence keeps the makers' own for the whole font
	maths    bool            // for formulas; else for text
	axes     map[string]span // variable axes, narrowed to what the styles ask for
	features []string        // OpenType features that text in the pages uses; nil keeps all
}

type span struct {
	Min int `json:"min"`
	Max int `json:"max"`
}

// As the styles ask: upright text is also strong, italics never; small capitals stand in the upright serif alone. A page's first
// view waits for the serif in italics, which is half the size so.
var (
	upright      = map[string]span{"wght": {400, 600}}
	italic       = map[string]span{"wght": {400, 400}}
	textFeatures = []string{"ccmp", "kern", "liga", "locl", "mark", "mkmk", "lnum", "tnum"}
	withSmall    = append(slices.Clone(textFeatures), "smcp")
)

// faces are the fonts by file name. A font of fonts.css that is missing here is an error of the build.
var faces = map[string]face{
	"source-serif-4-latin-wght-normal.woff2": {"Handbook Serif", false, upright, withSmall},
	"source-serif-4-latin-wght-italic.woff2": {"Handbook Serif Italic", false, italic, textFeatures},
	"source-sans-3-latin-wght-normal.woff2":  {"Handbook Sans", false, upright, textFeatures},
	"source-sans-3-latin-wght-italic.woff2":  {"Handbook Sans Italic", false, italic, textFeatures},
	"jetbrains-mono-latin-wght-normal.woff2": {"Handbook Mono", false, upright, []string{"ccmp", "locl", "mark", "mkmk"}},
	"noto-sans-math-latin-400-normal.woff2":  {"Handbook Maths", true, nil, nil}, // its variants of a sign hang on features
}

// cutFont is a font cut down to the characters of the site.
type cutFont struct {
	Plain  []byte `json:"plain"`  // TrueType, for measuring
	Packed []byte `json:"packed"` // WOFF2, for pages
}

//go:embed subset.mjs
var subsetScript string

// order is what the script is asked for one font.
type order struct {
	File     string          `json:"file"`
	Text     string          `json:"text"`
	Axes     map[string]span `json:"axes,omitempty"`
	Features []string        `json:"features,omitempty"`
	Name     string          `json:"name"`
}

// cutFonts cuts all fonts of the styles down to the letters, by file name. It is the one place of the build that starts
// Node: the library that knows how is a WebAssembly program for it. The result is kept under all it depends on, so that
// Node runs only when a font, its library or the set of characters changes.
func cutFonts(o Options) (map[string]cutFont, error) {
	var letters Letters
	if o.Letters != nil {
		letters = o.Letters()
	}
	names, orders, key, err := o.fontOrders(letters)
	if err != nil {
		return nil, err
	}
	answer, err := o.remembered(key, func() ([]byte, error) { return runSubset(o, orders) })
	if err != nil {
		return nil, err
	}
	var cut []cutFont
	if err := json.Unmarshal(answer, &cut); err != nil || len(cut) != len(names) {
		return nil, fmt.Errorf("the fonts cut down to the characters of the site: %d of %d can be read (%w)", len(cut), len(names), err)
	}
	all := map[string]cutFont{}
	for i, name := range names {
		all[name] = cut[i]
	}
	return all, nil
}

// fontOrders lists what the script is to do, and a key for its answer.
func (o Options) fontOrders(letters Letters) (names []string, orders []order, key string, err error) {
	found, err := fs.Glob(o.theme(), "node_modules/@fontsource*/*/files/*.woff2")
	if err != nil {
		return nil, nil, "", err
	}
	sum := sha256.New()
	for _, file := range found {
		f, ours := faces[path.Base(file)]
		if !ours {
			continue
		}
		text := letters.text()
		if f.maths {
			text = letters.maths()
		}
		data, err := fs.ReadFile(o.theme(), file)
		if err != nil {
			return nil, nil, "", err
		}
		one := order{file, text, f.axes, f.features, f.name}
		names, orders = append(names, path.Base(file)), append(orders, one)
		told, err := json.Marshal(one)
		if err != nil {
			return nil, nil, "", err
		}
		sum.Write(told)
		sum.Write(data)
	}
	if len(names) != len(faces) {
		return nil, nil, "", fmt.Errorf("theme/node_modules holds %d of the %d fonts that pages use; run npm ci in theme", len(names), len(faces))
	}
	packages, err := os.ReadFile(filepath.Join(o.Root, "theme", "package-lock.json"))
	if err != nil {
		return nil, nil, "", err
	}
	sum.Write(packages)
	return names, orders, "fonts\x00" + subsetScript + "\x00" + hex.EncodeToString(sum.Sum(nil)), nil
}

func runSubset(o Options, orders []order) ([]byte, error) {
	node, err := exec.LookPath("node")
	if err != nil {
		return nil, errors.New("node was not found: fonts are cut down to the characters of the site by a package for it; install Node.js 20 or newer, then build again")
	}
	asked, err := json.Marshal(orders)
	if err != nil {
		return nil, err
	}
	cmd := exec.Command(node, "--input-type=module", "--eval", subsetScript)
	cmd.Dir = filepath.Join(o.Root, "theme") // its packages are looked for from here
	cmd.Stdin = bytes.NewReader(asked)
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("the fonts cannot be cut down to the characters of the site (%w)%s", err, stderrOf(err))
	}
	return out, nil
}

// fonts gives the bundler the cut fonts in place of the whole ones, and the rules for the faces that stand in until they
// arrive.
func fonts(o Options) api.Plugin {
	return api.Plugin{Name: "fonts", Setup: func(b api.PluginBuild) {
		cut := sync.OnceValues(func() (map[string]cutFont, error) { return cutFonts(o) })
		b.OnLoad(api.OnLoadOptions{Filter: `\.woff2$`}, func(args api.OnLoadArgs) (api.OnLoadResult, error) {
			name := path.Base(filepath.ToSlash(args.Path))
			if _, known := faces[name]; !known {
				return api.OnLoadResult{}, fmt.Errorf("%s is not in the table of cmd/centrode/internal/asset/fonts.go, which says what pages need of a font", name)
			}
			all, err := cut()
			if err != nil {
				return api.OnLoadResult{}, err
			}
			text := string(all[name].Packed)
			return api.OnLoadResult{Contents: &text, Loader: api.LoaderFile}, nil
		})
		written(b, "stand-ins.css", func() (string, error) {
			all, err := cut()
			if err != nil {
				return "", err
			}
			return standIns(all)
		})
	}}
}

// colours gives the bundler the colours that a studio puts in place of the theme's.
func colours(o Options) api.Plugin {
	return api.Plugin{Name: "colours", Setup: func(b api.PluginBuild) {
		written(b, "studio-colours.css", func() (string, error) { return o.Colours.CSS(), nil })
	}}
}

// written resolves an import by this name to a style sheet that the build writes.
func written(b api.PluginBuild, name string, write func() (string, error)) {
	b.OnResolve(api.OnResolveOptions{Filter: "^" + regexp.QuoteMeta(name) + "$"}, func(api.OnResolveArgs) (api.OnResolveResult, error) {
		return api.OnResolveResult{Path: name, Namespace: name}, nil
	})
	b.OnLoad(api.OnLoadOptions{Filter: ".*", Namespace: name}, func(api.OnLoadArgs) (api.OnLoadResult, error) {
		rules, err := write()
		return api.OnLoadResult{Contents: &rules, Loader: api.LoaderCSS}, err
	})
}

// sortedRunes is the text that holds each of the characters once.
func sortedRunes(set map[rune]bool) string {
	list := make([]rune, 0, len(set))
	for r := range set {
		list = append(list, r)
	}
	slices.Sort(list)
	return string(list)
}
