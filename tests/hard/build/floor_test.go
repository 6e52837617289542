package build

import (
	"bytes"
	"html"
	"runtime"
	"sync"
	"testing"
	"time"

	"centrode/calc/catalog"
	"centrode/tests/generated"
	"centrode/tests/hard/bound"

	"github.com/alecthomas/chroma/v2"
	chromahtml "github.com/alecthomas/chroma/v2/formatters/html"
	"github.com/alecthomas/chroma/v2/lexers"
	"github.com/alecthomas/chroma/v2/styles"
	"github.com/tdewolff/minify/v2"
	minifyhtml "github.com/tdewolff/minify/v2/html"
	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/util"
)

// floor turns the markdown of n lessons into small HTML with goldmark, chroma and minify alone, on all cores. Lessons are made
// before the clock starts, a thousand at a time.
func floor(t *testing.T, n int) spent {
	t.Helper()
	var sum spent
	for from := 0; from < n; from += 1000 {
		var lessons []string
		for i := from; i < min(from+1000, n); i++ {
			text, err := generated.Lesson(i)
			if err != nil {
				t.Fatal(err)
			}
			lessons = append(lessons, text)
		}
		one := onAllCores(lessons, func() func(string) {
			md := goldmark.New(goldmark.WithExtensions(extension.Table, extension.Footnote, extension.Typographer),
				goldmark.WithRendererOptions(renderer.WithNodeRenderers(util.Prioritized(coloured{}, 100))))
			small := minify.New()
			small.Add("text/html", &minifyhtml.Minifier{KeepDefaultAttrVals: true, KeepDocumentTags: true, KeepEndTags: true, KeepQuotes: true})
			return func(text string) {
				var page bytes.Buffer
				if err := md.Convert([]byte(text), &page); err != nil {
					t.Error(err)
				}
				if _, err := small.Bytes("text/html", page.Bytes()); err != nil {
					t.Error(err)
				}
			}
		})
		sum.clock, sum.cores = sum.clock+one.clock, sum.cores+one.cores
	}
	return sum
}

// calculators returns the time of all cores that the runs of n lessons take by themselves.
func calculators(t *testing.T, n int) time.Duration {
	t.Helper()
	var runs []generated.Block
	for i := range n {
		blocks, err := generated.Blocks(i)
		if err != nil {
			t.Fatal(err)
		}
		runs = append(runs, blocks...)
	}
	return onAllCores(runs, func() func(generated.Block) {
		return func(b generated.Block) {
			if _, err := catalog.Run(b.Calculator, b.Values); err != nil {
				t.Error(err)
			}
		}
	}).cores
}

// onAllCores hands the list to as many workers as there are cores.
func onAllCores[T any](list []T, worker func() func(T)) spent {
	start, before := time.Now(), bound.Spent()
	next := make(chan T)
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			work := worker()
			for one := range next {
				work(one)
			}
		})
	}
	for _, one := range list {
		next <- one
	}
	close(next)
	wait.Wait()
	return spent{clock: time.Since(start), cores: bound.Spent() - before}
}

// coloured renders code with chroma.
type coloured struct{}

func (coloured) RegisterFuncs(reg renderer.NodeRendererFuncRegisterer) {
	reg.Register(ast.KindFencedCodeBlock, func(w util.BufWriter, source []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		block := node.(*ast.FencedCodeBlock)
		code := string(block.Lines().Value(source))
		var lexer chroma.Lexer
		if name := string(block.Language(source)); name != "worked" && name != "plate" { // no code, and a language that is not there is long looked for
			lexer = lexers.Get(name)
		}
		if lexer == nil {
			_, err := w.WriteString("<pre>" + html.EscapeString(code) + "</pre>")
			return ast.WalkContinue, err
		}
		tokens, err := chroma.Coalesce(lexer).Tokenise(nil, code)
		if err != nil {
			return ast.WalkStop, err
		}
		return ast.WalkContinue, chromahtml.New(chromahtml.WithClasses(true)).Format(w, styles.Fallback, tokens)
	})
}
