package main

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/cmd/centrode/internal/site"
)

// TestAPresetOfTheCastAnswersAsOnItsPlate: by the same id, in whatever folder, with what is given besides over it.
func TestAPresetOfTheCastAnswersAsOnItsPlate(t *testing.T) {
	t.Chdir(t.TempDir())
	cast, err := site.Cast("")
	if err != nil || len(cast.Cast) < 6 {
		t.Fatalf("the command carries %d of the cast, %v", len(cast.Cast), err)
	}
	for _, c := range list.All() {
		spec := c.Spec()
		listed, _, _ := calc("", spec.ID, "-presets")
		presets := cast.Presets(spec)
		if got := strings.Count(listed, "\n"); got != len(presets) || got < 2 {
			t.Errorf("calc %s -presets lists %d, the plate offers %d", spec.ID, got, len(presets))
		}
		for _, p := range presets {
			values := catalog.NewValues()
			for _, e := range p.Values {
				if err := catalog.Set(spec, &values, e.ID, e.Text); err != nil {
					t.Fatal(err)
				}
			}
			answer, err := catalog.Run(c, values)
			if err != nil {
				t.Fatal(err)
			}
			out, errOut, status := calc("", spec.ID, "-preset", p.ID, "-format", "json")
			if want := string(answer.AppendJSON(nil)) + "\n"; status != 0 || out != want {
				t.Errorf("calc %s -preset %s = %d %s\n%s\nwant\n%s", spec.ID, p.ID, status, errOut, out, want)
			}
			if !strings.Contains(listed, p.ID+" ") || !strings.Contains(listed, p.Label+"\n") {
				t.Errorf("calc %s -presets does not list %s", spec.ID, p.ID)
			}
		}
	}
}

// TestWhatIsGivenOutranksAPreset: a word, a file and the rows of a batch.
func TestWhatIsGivenOutranksAPreset(t *testing.T) {
	inputs := func(out string) map[string]any {
		var answer struct{ Inputs map[string]any }
		if err := json.Unmarshal([]byte(out), &answer); err != nil {
			t.Fatalf("%v in %s", err, out)
		}
		return answer.Inputs
	}
	for _, c := range []struct {
		stdin string
		words []string
		pip   float64
	}{
		{"", nil, 62},
		{"", []string{"pip_flex=80"}, 80},
		{`{"pip_flex": 81}`, []string{"-in", "-"}, 81},
		{"pip_flex\n82\n", []string{"-in", "-"}, 82},
		{"name,pip_flex\nloom,\n", []string{"-in", "-", "mcp_flex=70"}, 62},
	} {
		args := append([]string{"finger-curl", "-preset", "odalys-loom", "-format", "json"}, c.words...)
		out, errOut, status := calc(c.stdin, args...)
		if status != 0 {
			t.Fatalf("%v: %s", args, errOut)
		}
		if in := inputs(out); in["pip_flex"] != c.pip || in["palm_length"] != 9.6 {
			t.Errorf("%v of %q: asks %v; want pip_flex %v of Odalys's hand", c.words, c.stdin, in, c.pip)
		}
	}
}

func TestAPresetThatDoesNotExistIsRefusedWithThoseThatDo(t *testing.T) {
	studio := t.TempDir()
	one := "name: Wim\nrole: Ferry hand\nstory: Ours.\npresets:\n  - {id: wim-thumb, label: \"Wim, thumb\", calculator: finger-curl, values: {pip_flex: 12 deg}}\n"
	if err := os.Mkdir(filepath.Join(studio, "cast"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(studio, "cast", "wim.yaml"), []byte(one), 0o644); err != nil {
		t.Fatal(err)
	}
	broken := copyOf(t, studio)
	if err := os.WriteFile(filepath.Join(broken, "cast", "wim.yaml"), []byte(strings.Replace(one, "pip_flex", "pip_flexx", 1)), 0o644); err != nil {
		t.Fatal(err)
	}
	misplaced, flat := t.TempDir(), t.TempDir()
	if err := errors.Join(os.Rename(filepath.Join(copyOf(t, studio), "cast"), filepath.Join(misplaced, "csat")), os.WriteFile(filepath.Join(flat, "cast"), []byte(one), 0o644)); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		line     string
		status   int
		out, err string
	}{
		{"reseat -preset gantry-bom-move", 2, "", `-preset "gantry-bom-move": must be gantry-boom-move, moss-hock-reaim or tamsin-wrist-move; nearest: "gantry-boom-move"`},
		{"finger-curl -preset moss-hock", 2, "", `-preset "moss-hock": must be index-fist, `},
		{"finger-curl -preset moss-hock", 2, "", "odalys-loom or pell-index\n\"moss-hock\" is a preset of hinge-arc\n"},
		{"finger-curl -overlay " + studio + " -in -", 2, "", "-overlay needs -preset, -presets, -describe or a batch"},
		{"finger-curl -preset=", 2, "", `-preset "": is empty`},
		{"finger-curl -presets pip_flex=3", 2, "", `-presets lists the presets of finger-curl, and takes no "pip_flex=3"`},
		{"finger-curl -presets -format json", 2, "", "-presets lists the presets of finger-curl, and takes no other flag"},
		{"finger-curl -overlay " + studio, 2, "", "-overlay needs -preset, -presets, -describe or a batch"},
		{"finger-curl -overlay " + studio + " -presets", 0, "wim-thumb                Wim, thumb\n", ""},
		{"finger-curl -overlay " + studio + " -preset wim-thumb -format json", 0, `"pip_flex":12,`, ""},
		{"finger-curl -overlay " + studio + " -describe", 0, `"id":"wim-thumb"`, ""},
		{"finger-curl -describe", 0, `"id":"odalys-loom","label":"Odalys, index finger, on the oar loom"`, ""},
		{"finger-curl -overlay " + studio + "-none -presets", 1, "", "must be a folder with lessons"},
		{"finger-curl -overlay " + misplaced + " -preset wim-thumb", 1, "", "/csat: is not read; an overlay may hold lessons, plates, paths, cast"},
		{"finger-curl -overlay " + flat + " -presets", 1, "", filepath.ToSlash(flat) + "/cast: cannot be read: "},
		{"finger-curl -overlay " + broken + " -presets", 1, "", "/cast/wim.yaml:5: wim-thumb: pip_flexx: is no field of finger-curl"},
	} {
		out, errOut, status := calc(`{"pip_flex": 12}`, strings.Fields(c.line)...)
		if status != c.status || !strings.Contains(out, c.out) || !strings.Contains(errOut, c.err) || (c.err == "") != (errOut == "") {
			t.Errorf("calc %s = %d %q %q; want %d %q %q", c.line, status, out, errOut, c.status, c.out, c.err)
		}
	}
}

// TestEachRowOfABatchMayStartFromAPresetOfItsOwn: it replaces that of the command line, and what is given outranks it as ever.
func TestEachRowOfABatchMayStartFromAPresetOfItsOwn(t *testing.T) {
	want := ""
	for _, words := range []string{"-preset odalys-loom mcp_flex=70", "-preset pell-index mcp_flex=70 pip_flex=80", "-preset index-fist mcp_flex=60"} {
		out, errOut, status := calc("", append([]string{"finger-curl", "-format", "json"}, strings.Fields(words)...)...)
		if status != 0 {
			t.Fatal(errOut)
		}
		want += out
	}
	for _, in := range []string{
		"pip_flex,preset,mcp_flex\n,odalys-loom\n80, pell-index ,\n,,60\n",
		"PIP_Flex (deg),Preset,mcp_flex\n,odalys-loom\n80, pell-index ,\n,,60\n", // a spreadsheet begins its heads with capitals
		`[{"preset": "odalys-loom"}, {"pip_flex": 80, "preset": "pell-index"}, {"mcp_flex": 60}]`,
	} {
		if out, errOut, status := calc(in, "finger-curl", "-preset", "index-fist", "mcp_flex=70", "-format", "json", "-in", "-"); status != 0 || out != want {
			t.Errorf("%s answers %d %s\n%s\nwant\n%s", in, status, errOut, out, want)
		}
	}
}

// TestANameInCapitalsIsANameAmongTheAnswers: beside the fields of a batch, and beside the columns of a table.
func TestANameInCapitalsIsANameAmongTheAnswers(t *testing.T) {
	if out, errOut, status := calc("Name,MCP_flex (rad)\nknuckle,1.5\n", "finger-curl", "-format", "json", "-in", "-"); status != 0 || !strings.HasPrefix(out, `{"name":"knuckle",`) {
		t.Errorf("a batch = %d %s%s", status, errOut, out)
	}
	got, errOut, status := calc("NAME,Length (m),rest,Fold_min,fold_max\nthigh,0.12,90,0,0\nshank,0.1,0,-20,90\n", "limb-fold", "far=50", "-format", "json", "-in", "-")
	if status != 0 || !strings.Contains(got, `"total_length":22,`) {
		t.Errorf("a table = %d %s\n%s", status, errOut, got)
	}
	if _, errOut, _ := calc("name,parent,x,y,zz\n", "reseat", "-in", "-"); strings.Contains(errOut, "may stand beside them") {
		t.Errorf("a table that has names of its own is told of others: %s", errOut)
	}
}

// TestAPresetOfARowThatDoesNotExistIsToldInThatRow: with the nearest, and the rest of the batch is answered.
func TestAPresetOfARowThatDoesNotExistIsToldInThatRow(t *testing.T) {
	const unknown = `preset: "pel-index": is no preset of finger-curl; nearest: "pell-index"; calc finger-curl -presets lists them`
	for _, c := range []struct {
		in, format, want string
		lines            int
	}{
		{"preset\npel-index\npell-index\n", "csv", `,"` + strings.ReplaceAll(unknown, `"`, `""`) + `"` + "\n", 3},
		{`[{"preset": "pel-index"}, {"preset": "pell-index"}]`, "json", `"row":1,"error":"` + strings.ReplaceAll(unknown, `"`, `\"`) + `"}` + "\n", 2},
		{`[{"preset": 7}, {"preset": "pell-index"}]`, "json", `"row":1,"error":"preset: 7: must be a text"}` + "\n", 2},
	} {
		out, errOut, status := calc(c.in, "finger-curl", "-in", "-", "-format", c.format)
		if status != 1 || !strings.Contains(out, c.want) || strings.Count(out, "\n") != c.lines || errOut != "1 row of 2 was refused; its error says why\n" {
			t.Errorf("%s = %d %q\n%s\nwant in it\n%s", c.in, status, errOut, out, c.want)
		}
	}
	out, errOut, status := calc(`[{"preset": "pell-index"}]`, "finger-curl", "-in", "-", "-overlay", t.TempDir()+"/none")
	if status != 1 || out != "" || !strings.Contains(errOut, "must be a folder with lessons") {
		t.Errorf("a batch over a folder that is not there = %d %q %q", status, out, errOut)
	}
}

func copyOf(t *testing.T, folder string) string {
	t.Helper()
	to := t.TempDir()
	if err := os.CopyFS(to, os.DirFS(folder)); err != nil {
		t.Fatal(err)
	}
	return to
}
