package jsontree_test

import (
	"encoding/json"
	"strings"
	"testing"

	"centrode/calc/jsontree"
	"centrode/tests/hard/bound"
)

func parse(t *testing.T, text string) *jsontree.Value {
	t.Helper()
	v, err := jsontree.Parse([]byte(text), jsontree.Limits{})
	if err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	return v
}

func TestATreeIsWrittenAsItWasRead(t *testing.T) {
	for _, text := range []string{
		`{"z":1.0,"a":-0,"b":1E+2,"c":0.10,"d":"\u0041\/","e":[],"f":{},"g":[true,false,null],"\u0068":"ä"}`,
		`12345678901234567890123`, `"\ud83d\ude00"`, `[[[]],{"a":{"b":[1]}}]`,
	} {
		if got := string(parse(t, text).AppendTo(nil)); got != text {
			t.Errorf("read and written: %s, want %s", got, text)
		}
	}
	if got := string(parse(t, " { \"a\" :\t[ 1 ,\r\n2 ] } ").AppendTo(nil)); got != `{"a":[1,2]}` {
		t.Errorf("white space: %s", got)
	}
}

func TestValuesAreRead(t *testing.T) {
	v := parse(t, `{"a":3.0,"b":"x\n\ud83d\ude00\ud83dy","c":1e999,"d":[7],"e":true,"\u0066":9007199254740993}`)
	if n, ok := v.Member("a").Int(); n != 3 || !ok {
		t.Errorf("3.0 is the whole number %d, %v", n, ok)
	}
	if got, want := v.Member("b").Text(), "x\n😀\uFFFDy"; got != want {
		t.Errorf("text %q, want %q", got, want)
	}
	if _, ok := v.Member("c").Float(); ok {
		t.Error("1e999 is within the range")
	}
	if n, ok := v.Member("d").At(0).Int(); n != 7 || !ok {
		t.Errorf("the item is %d, %v", n, ok)
	}
	if !v.Member("e").True() {
		t.Error("true is not true")
	}
	if v.Name(5) != "f" || v.Member("f") == nil {
		t.Error("an escaped name is not found")
	}
	if _, ok := v.Member("f").Int(); ok {
		t.Error("a whole number beyond 2⁵³ is taken for exact")
	}
	missing := v.Member("x").Member("y").At(3)
	if missing.Kind() != jsontree.Missing || missing.Text() != "" || missing.Len() != 0 || missing.Raw() != "" || missing.Name(0) != "" {
		t.Error("what is missing is not nothing")
	}
}

func TestAChangeLeavesTheRest(t *testing.T) {
	v := parse(t, `{"keep":1.50,"go":2,"turn":[3]}`)
	v.Set("turn", jsontree.NewNumbers(0.1, 1e-7)).Remove("go")
	v.List("new").Append(jsontree.NewString("a\"<"))
	v.Set("on", jsontree.NewBool(true)).Set("n", jsontree.NewInts(1, 2)).Set("o", jsontree.NewObject())
	if got, want := string(v.AppendTo(nil)), `{"keep":1.50,"turn":[0.1,1e-07],"new":["a\"\u003c"],"on":true,"n":[1,2],"o":{}}`; got != want {
		t.Errorf("changed: %s, want %s", got, want)
	}
}

func TestWhatIsNoJSONIsRefused(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{``, "line 1, byte 0: the text ends where a value is due"},
		{"[1,\n2", "line 2, byte 5: the text ends inside a list or an object"},
		{`[1,]`, "line 1, byte 3: no value begins like this"},
		{`[1 2]`, "line 1, byte 3: a comma or ] is due here"},
		{`{"a":1,"\u0061":2}`, `line 1, byte 16: the name "a" stands twice in one object; allowed is once`},
		{`{a:1}`, "line 1, byte 1: a name in quotes is due here"},
		{`{"a"}`, "line 1, byte 4: a colon is due here"},
		{`01`, "line 1, byte 0: a number begins with one digit, or with several of which the first is not 0"},
		{`1.`, "line 1, byte 2: a digit is due after the point"},
		{`1e+`, "line 1, byte 3: a digit is due in the exponent"},
		{`NaN`, "line 1, byte 0: no value begins like this"},
		{`"a`, "line 1, byte 0: the text that begins here has no end"},
		{"\"\x01\"", "line 1, byte 1: a control character in a text; allowed is its escape"},
		{`"\x"`, `line 1, byte 2: after \ stands one of "\/bfnrtu`},
		{`"\u12g4"`, `line 1, byte 2: after \u stand four hexadecimal digits`},
		{"\"\xff\"", "line 1, byte 1: a byte that is no UTF-8; allowed is text in UTF-8"},
		{`1 1`, "line 1, byte 2: something stands after the end; allowed is one value"},
		{strings.Repeat("[", 1<<20), "line 1, byte 64: more than 64 lists and objects inside each other; allowed are that many"},
	} {
		if _, err := jsontree.Parse([]byte(c.text), jsontree.Limits{}); err == nil || err.Error() != c.want {
			t.Errorf("%.40q: %v\nwant %s", c.text, err, c.want)
		}
	}
	if _, err := jsontree.Parse([]byte("[1,2,3]"), jsontree.Limits{Values: 3}); err == nil {
		t.Error("four values pass a limit of three")
	}
	var many strings.Builder
	many.WriteString("{")
	for i := range 40 {
		many.WriteString(`"` + strings.Repeat("k", i+1) + `":0,`)
	}
	if _, err := jsontree.Parse([]byte(many.String()+`"kkk":1}`), jsontree.Limits{}); err == nil || !strings.Contains(err.Error(), "stands twice") {
		t.Errorf("a name that stands twice among many: %v", err)
	}
}

// FuzzParse compares with encoding/json, which takes deeper texts, names twice and bytes that are no UTF-8.
func FuzzParse(f *testing.F) {
	for _, seed := range []string{`{"a":[1,2.5e-3,"\u00e4\n",null,true]}`, `[[],{}]`, `"\ud83d\ude00"`, `{"a":1,"a":2}`, ` 1`, `[1,]`} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		defer bound.Watch(t, len(text))()
		v, err := jsontree.Parse(text, jsontree.Limits{})
		if err != nil {
			if v != nil {
				t.Fatal("a value beside an error")
			}
			return
		}
		if !json.Valid(text) {
			t.Fatalf("%q is no JSON and is read", text)
		}
		out := v.AppendTo(nil)
		again, err := jsontree.Parse(out, jsontree.Limits{})
		if err != nil || string(again.AppendTo(nil)) != string(out) {
			t.Fatalf("%q is written as %q, which reads as %v", text, out, err)
		}
		var a, b any
		if json.Unmarshal(text, &a) != nil {
			return // a number beyond float64
		}
		if err := json.Unmarshal(out, &b); err != nil {
			t.Fatal(err)
		}
		x, _ := json.Marshal(a)
		y, _ := json.Marshal(b)
		if string(x) != string(y) {
			t.Fatalf("%q means %s and is written as %s", text, x, y)
		}
	})
}

// Every character, alone and between letters, is read back by the standard library as it was, and none that could end a script
// element, or a line of a script, is written as it is. A byte that is not UTF-8 becomes U+FFFD, as there.
func TestAStringReadsBackAsItWas(t *testing.T) {
	const told = "<>&\u007f\u2028\u2029"
	for r := rune(0); r < 0x2100; r++ {
		for _, text := range []string{string(r), "a" + string(r) + string(r) + "é" + string(r), string(r) + "\xff", "\xff" + string(r)} {
			written := jsontree.AppendString([]byte("x"), text)
			var read string
			if err := json.Unmarshal(written[1:], &read); err != nil || written[0] != 'x' {
				t.Fatalf("%q is written as %q: %v", text, written, err)
			}
			if want := strings.ToValidUTF8(text, "\ufffd"); read != want {
				t.Errorf("%q is written as %q and read as %q", text, written, read)
			}
			if strings.ContainsAny(string(written), told) || strings.ContainsFunc(string(written), func(r rune) bool { return r < ' ' }) {
				t.Errorf("%q is written as %q, which holds a character that must not stand there", text, written)
			}
		}
	}
}
