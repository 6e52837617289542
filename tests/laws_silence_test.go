package tests

import (
	"regexp"
	"strings"
)

// The law of silence: a script that catches a failure hands it on, tells the reader what to do, or says in a comment why nobody
// need know. What nobody catches is told by theme/scripts/failure.js.
func silenceLaws() []law {
	const missing = "a failure is caught and nobody told; tell the reader what to do, or say in a comment there why silence is right"
	return []law{{
		name: "nothing fails silently without a reason", find: silences, least: 35,
		broken: []breach{
			{files{"theme/scripts/a.js": "try {\n  a();\n} catch {}\n"}, "theme/scripts/a.js:3: " + missing},
			{files{"theme/scripts/a.js": "// why not\ntry { a(); } catch (error) {\n  return '';\n}\n// why not\n"}, "theme/scripts/a.js:2: " + missing},
			{files{"theme/scripts/a.js": "a().catch(() => {});\n\nb('// no reason').catch(() => null);\nc.catch((e) => { });\nd.catch(() => b());\n"}, "theme/scripts/a.js:1: " + missing + "\ntheme/scripts/a.js:3: " + missing + "\ntheme/scripts/a.js:4: " + missing},
			{files{"theme/offline/a.js": "a.catch(function () { return 1; });\n"}, "theme/offline/a.js:1: " + missing},
		},
		kept: files{"theme/scripts/a.js": "/* } catch {} */ try { a(); } catch { /* the bar has it */ }\ntry { a(); } catch {\n  // none\n}\ntry { a(); } catch { // none\n  return;\n}\n" +
			"a.catch(() => {}); // none\na.catch(refuse);\ntry { a(); } catch (error) { throw error; }\ntry { a(); } catch { told.textContent = words.notCopied; }\ntry { a(); } catch { refuse(); }\n"},
	}}
}

var (
	// caught is where a failure is caught, up to what is done with it.
	caught = regexp.MustCompile(`\bcatch\s*(?:\([^()]*\)\s*)?\{|\.catch\(\s*(?:async\s*)?(?:function\b\s*\([^()]*\)|(?:\([^()]*\)|\w+)\s*=>)\s*\{?|\.catch\(\s*\)`)
	// handedOn is what a handler does with a failure that is not lost: it calls something, throws, or writes words.
	handedOn = regexp.MustCompile(`\w\(|\bthrow\b|\bwords\.`)
)

func silences(p *project, b *breaches) {
	for _, folder := range []string{"theme/scripts", "theme/offline"} {
		for name := range p.under(folder, ".js") {
			text := p.text[name]
			code := scriptText.ReplaceAllStringFunc(scriptComment.ReplaceAllStringFunc(text, blanked), blanked)
			for _, m := range caught.FindAllStringIndex(code, -1) {
				b.seen++
				end := m[1] + handlerEnd(code[m[1]:], code[m[1]-1] == '{')
				rest, _, _ := strings.Cut(text[end:], "\n")
				if !handedOn.MatchString(code[m[1]:end]) && !scriptComment.MatchString(text[m[0]:end]+rest) {
					b.add(name, lineOf(code, m[0]), "a failure is caught and nobody told; tell the reader what to do, or say in a comment there why silence is right")
				}
			}
		}
	}
}

// handlerEnd is where the handler that begins the code ends: behind the brace that closes its block, or before what closes the call.
func handlerEnd(code string, block bool) int {
	depth := 0
	for i, c := range code {
		switch c {
		case '{', '(', '[':
			depth++
		case '}', ')', ']':
			if depth == 0 {
				if block {
					return i + 1
				}
				return i
			}
			depth--
		}
	}
	return len(code)
}
