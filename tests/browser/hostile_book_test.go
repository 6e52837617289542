package browser

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// escaped is the text as markdown takes it for words.
func escaped(text string) string {
	var b strings.Builder
	for _, r := range text {
		if strings.ContainsRune("\\`*_{}[]<>()#+-.!|\"'$&=:~^@", r) {
			b.WriteByte('\\')
		}
		b.WriteRune(r)
	}
	return b.String()
}

// hostileLesson has the text wherever an author can write one.
func hostileLesson(n int, text string) string {
	q, e := quote(text), escaped(text)
	m := quote(e) // for what is read as markdown
	block := func(kind, id, more string) string {
		return "```" + kind + "\nid: " + id + "\ntitle: " + q + "\ncalculator: hinge-arc\n" + more + "```\n\n"
	}
	return fmt.Sprintf("---\ntitle: %s\nsummary: %s\npart: 1\norder: %d\nminutes: 10\nplates: [hinge-arc]\n---\n\n", q, q, n+1) +
		e + " `" + strings.ReplaceAll(text, "`", "") + "` [" + e + "](/glossary/ " + quote(strings.ReplaceAll(text, `"`, "'")) + ") [[term-" + strconv.Itoa(n) + "|" + strings.NewReplacer("[", "", "]", "", "|", "").Replace(e) + "]] [@source" + strconv.Itoa(n) + "] *" + e + "*[^1]\n\n" +
		"## " + e + "\n\n| " + e + " | b |\n|---|---|\n| " + e + " | 1 |\n\n> " + e + "\n\n- " + e + "\n\n[^1]: " + e + "\n\n" +
		"```js\n" + text + "\n```\n\n```" + "text\n" + text + "\n```\n\n$$\n\\text{" + strings.NewReplacer("$", "", "\\", "", "{", "", "}", "", "#", "", "&", "", "%", "", "_", "", "^", "", "~", "").Replace(text) + "}\n$$\n\n" +
		block("worked", "one", "given: {candidate_y: -1.5 cm}\nexpect: {shift_length: 2.898 cm}\ncheck: "+m+"\nnote: "+m+"\nsource: [invented]\n") +
		block("plate", "two", "inputs: [candidate_y]\n") +
		block("compare", "three", "current: {candidate_y: 0 cm}\ncandidate: {candidate_y: -1.5 cm}\nshow: [shift_length]\n") +
		block("exercise", "four", "given: {candidate_y: -1.5 cm}\nask: shift_length\nquestion: "+m+"\nanswer: 2.898 cm\ntolerance: 0.001 cm\nhints:\n  - {mistake: "+q+", times: 0.5, say: "+m+"}\n") +
		"> [!mistake] " + e + "\n> " + e + "\n\n> [!caution] " + e + "\n> " + e + "\n\n> [!note] " + e + "\n> " + e + "\n\n> [!tomorrow]\n> " + e + "\n\n" +
		"It is {=fact:fact-" + strconv.Itoa(n) + "}.\n"
}

// hostileBook is a project in which every text that an author can write is hostile.
func hostileBook(t *testing.T) string {
	t.Helper()
	project := smallProject(t)
	var terms, sources, lessons strings.Builder
	facts := []string{"id,topic,quantity,value,unit,spread,population_or_condition,source_key,status,note"}
	files := map[string]string{"home.md": "---\ntitle: " + quote(hostile[0]) + "\nsummary: " + quote(hostile[1]) + "\n---\n\n" + escaped(hostile[2]) + "\n"}
	for n, text := range hostile {
		q, name := quote(text), "lesson-"+strconv.Itoa(n)
		fmt.Fprintf(&terms, "- id: term-%d\n  term: %s\n  also: [%s]\n  definition: %s\n", n, q, quote("also "+text), quote(escaped(text)))
		fmt.Fprintf(&sources, `,{"id":"source%d","type":"book","title":%s,"author":[{"family":%s,"given":%s}],"publisher":%s,"note":%s,"container-title":%s,"issued":{"date-parts":[[2010]]},"custom":{"status":"seen"}}`, n, q, q, q, q, q, q)
		c := `"` + strings.ReplaceAll(text, `"`, `""`) + `"` // a cell
		facts = append(facts, fmt.Sprintf("fact-%d,%s,%s,5.67,mm,%s,%s,source%d,seen,%s", n, c, c, c, c, n, c))
		files["lessons/"+name+".md"] = hostileLesson(n, text)
		fmt.Fprintf(&lessons, "  - %s\n", name)
		files["cast/cast"+strconv.Itoa(n)+".yaml"] = fmt.Sprintf("name: %s\nrole: %s\nstory: %s\nmeasures:\n  - {label: %s, value: 9 cm}\npresets:\n  - id: preset-%d\n    label: %s\n    calculator: finger-curl\n    values: {mcp_flex: 80 deg}\n", q, q, quote(escaped(text)), q, n, q)
		files["checks/check"+strconv.Itoa(n)+".md"] = fmt.Sprintf("---\ntitle: %s\nsummary: %s\n---\n\n```plate\nid: finger\ntitle: %s\ncalculator: finger-curl\npreset: preset-%d\ninputs: [mcp_flex, pip_flex]\npresets: [preset-%d]\nonly: verdict\n```\n\n%s\n", q, q, q, n, n, escaped(text))
	}
	files["paths/path.yaml"] = fmt.Sprintf("title: %s\nreader: %s\npromise: %s\nchecks: [check0]\nlessons:\n%sclosing:\n  - lesson-0/four\n", quote(hostile[5]), quote(hostile[6]), quote(hostile[7]), lessons.String())
	for name, add := range map[string]string{"glossary.yaml": terms.String(), "sources.json": sources.String()} {
		data, err := os.ReadFile(filepath.Join(project, "content", name))
		must(t, err)
		if name == "sources.json" {
			files[name] = strings.TrimSuffix(strings.TrimSpace(string(data)), "]") + add + "]"
		} else {
			files[name] = string(data) + add
		}
	}
	files["facts.csv"] = strings.Join(facts, "\n") + "\n"
	for name, text := range files {
		file := filepath.Join(project, "content", filepath.FromSlash(name))
		must(t, errors.Join(os.MkdirAll(filepath.Dir(file), 0o755), os.WriteFile(file, []byte(text), 0o644)))
	}
	return project
}

// A whole book of hostile texts is built, and none of its pages runs, holds or is torn by any of them, with the content policy and without.
func TestABookOfHostileTextsIsOnlyRead(t *testing.T) {
	parallel(t)
	project := hostileBook(t)
	check := exec.Command(program, "check")
	check.Dir = project
	if out, err := check.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	bare := hostileTab(t, true)
	bare.preview(t, project)
	home := bare.home
	for _, address := range []string{"/", "/lessons/", "/glossary/", "/sources/", "/cast/", "/checks/", "/paths/", "/paths/path/", "/paths/path/check/", "/parts/1/", "/plates/hinge-arc/", "/progress/", "/de/glossary/", "/de/lessons/lesson-1/"} {
		bare.harmless(t, home, address)
	}
	guarded := hostileTab(t, false)
	guarded.early(t, listenForReports)
	for n := range hostile {
		lesson := "/lessons/lesson-" + strconv.Itoa(n) + "/"
		bare.harmless(t, home, lesson)
		bare.harmless(t, home, "/checks/check"+strconv.Itoa(n)+"/")
		bare.harmless(t, home, "/embed/lessons/lesson-"+strconv.Itoa(n)+"/two/")
		guarded.harmless(t, home, lesson)
		if refused := eval[string](t, guarded, `refusals.join('; ')`); refused != "" {
			t.Errorf("%s: %s", lesson, refused) // what the policy refuses was let through by the escaping
		}
	}
	bare.clean(t)
	guarded.clean(t)
}

func (tb *tab) harmless(t *testing.T, home, address string) {
	t.Helper()
	tb.visit(t, home+address)
	tb.settle(t)
	if eval[int](t, tb, `document.querySelectorAll('h1').length`) == 0 {
		t.Errorf("%s: there is no such page", address)
		return
	}
	tb.unharmed(t, address)
}
