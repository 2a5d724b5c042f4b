package sheets

import (
	"bytes"
	"errors"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/thedatashed/xlsxreader"
	"pgregory.net/rapid"

	"cotline/handover/entry"
)

// Texts that programs like to read as something else, or that break files.
var hostile = []string{
	"=1+1", "+1", "-1", "@x", "\t=1+1", "=cmd|' /C calc'!A0", "＝1+1", "'=1+1",
	"0012345", "1E5", "12345678901234567890", "1/2", "2026-03-09", "TRUE", "#N/A", "1,5", "10%", "NaN",
	" lead", "trail ", "a  b", "line one\nline two", "\n", "tab\there",
	"<b>&amp;</b>", "]]>", "\"'", "_x0041_", "_x005F_", "_x000D_", "_xZZZZ_", "_x12g4_",
	"Nguyễn", "Łucja", "e\u0301", "שלום", "\u202eabc\u202c", "\u2067a\u2069 \u061c\u200e\u200f",
	"\u200b", "\ufeff", "\u2028", "𝔘𝔫𝔦", "👩‍⚕️", "你好", "\ufffd", "\u00a0",
	strings.Repeat("x", mostText), strings.Repeat("👩", mostText/2),
}

func TestTextsStayTexts(t *testing.T) {
	var cells []cell
	for _, s := range hostile {
		cells = append(cells, text(s, none))
	}
	o := written(t, map[string][]cell{"Key": fill(cells, text("k", none)), "Text": cells})
	typed := o.column("Test", "Text")
	for i, want := range hostile {
		checkText(t, o, "B", i, typed[i], undirected(want))
	}
}

// undirected is a text with U+FFFD for each character that Unicode Standard Annex 9
// (section 2) gives a direction: none may turn the words of a cell.
func undirected(s string) string {
	return strings.NewReplacer("\u061c", "\ufffd", "\u200e", "\ufffd", "\u200f", "\ufffd", "\u202a", "\ufffd", "\u202b", "\ufffd",
		"\u202c", "\ufffd", "\u202d", "\ufffd", "\u202e", "\ufffd", "\u2066", "\ufffd", "\u2067", "\ufffd", "\u2068", "\ufffd",
		"\u2069", "\ufffd").Replace(s)
}

// checkText holds a text cell to what both readers see and to its format.
func checkText(t testing.TB, o opened, column string, i int, typed xlsxreader.Cell, want string) {
	t.Helper()
	ref := column + strconv.Itoa(headerRow+1+i)
	got, err := o.a.GetCellValue("Test", ref)
	if err != nil || got != want {
		t.Fatalf("%.60q reads back as %.60q, %v", want, got, err)
	}
	if typed.Type != xlsxreader.TypeString {
		t.Fatalf("%.60q is %s for the second reader", want, typed.Type)
	}
	if unescaped(typed.Value) != want {
		t.Fatalf("%.60q is %.60q for the second reader", want, typed.Value)
	}
	if f := o.format("Test", ref); f != "@" {
		t.Fatalf("%.60q has format %q", want, f)
	}
}

// unescaped undoes _xHHHH_ (ISO/IEC 29500-1, 22.9.2.19) for a reader that leaves it in place.
func unescaped(s string) string { return strings.ReplaceAll(s, "_x005F_", "_") }

func fill(like []cell, c cell) []cell {
	out := make([]cell, len(like))
	for i := range out {
		out[i] = c
	}
	return out
}

// Any text is written so that both readers see the same, or refused whole.
func TestAnyText(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s := rapid.OneOf(rapid.String(),
			rapid.StringMatching(`(_|x|_x[0-9A-Fa-f]{4}_|x005F_|_xD[0-9]00_|[=+@\t\n -]|[\x00-\x20]|\x{202e}|\x{2066}|é|👩){0,8}`)).
			Draw(r, "text")
		data, err := writeColumns(map[string][]cell{"A": {word("k")}, "B": {text(s, none)}})
		if bad := strings.ContainsFunc(s, func(r rune) bool {
			return r < ' ' && r != '\n' && r != '\t' || r >= 0x7f && r < 0xa0 || r == 0xfffe || r == 0xffff
		}) || shared(s); bad {
			var refused Refused
			if !errors.As(err, &refused) {
				r.Fatalf("%q: %v", s, err)
			}
			return
		}
		if err != nil {
			r.Fatal(err)
		}
		if s == "" {
			return // none is written
		}
		o := open(t, data)
		checkText(t, o, "B", 0, o.column("Test", "B")[0], undirected(s))
	})
}

// shared says, by scanning rather than by the pattern under test, whether codes are halves of characters or share an
// underscore.
func shared(s string) bool {
	code := func(i int) bool {
		if i+7 > len(s) || s[i:i+2] != "_x" || s[i+6] != '_' {
			return false
		}
		_, err := strconv.ParseUint(s[i+2:i+6], 16, 16)
		return err == nil
	}
	for i := range s {
		if code(i) {
			if n, _ := strconv.ParseUint(s[i+2:i+6], 16, 16); n >= 0xd800 && n < 0xe000 || code(i+6) {
				return true
			}
		}
	}
	return false
}

func TestRefusals(t *testing.T) {
	when := func(y, m, d int) cell {
		return cell{show: showMoment, when: time.Date(y, time.Month(m), d, 23, 59, 0, 0, time.UTC)}
	}
	for _, c := range []struct {
		name string
		cell cell
		why  string // empty: taken
	}{
		{"a bell", text("secret\a", none), "control character U+0007"},
		{"a null", text("secret\x00", none), "control character U+0000"},
		{"a carriage return", text("secret\r\n", none), "control character U+000D"},
		{"an escape beyond ASCII", text("secret\u009b", none), "control character U+009B"},
		{"a noncharacter", text("secret\uffff", none), "control character U+FFFF"},
		{"a broken text", text("secret\xff", none), "not valid UTF-8"},
		{"too long a text", text(strings.Repeat("secret", 5334), none), "32004 characters"},
		{"too long a text of wide characters", text(strings.Repeat("👩", mostText/2)+"x", none), "32001 characters"},
		{"half a character", text("secret _xD83D_", none), "codes such as"},
		{"codes that share an underscore", text("secret _x0041_x0042_", none), "codes such as"},
		{"the longest text", text(strings.Repeat("x", mostText), none), ""},
		{"before all programs count alike", when(1900, 2, 28), "before 1900-03-01"},
		{"from there on", when(1900, 3, 1), ""},
		{"a late year", when(9999, 12, 31), ""},
		{"too late a year", when(10000, 1, 1), "after 9999"},
	} {
		t.Run(c.name, func(t *testing.T) {
			data, err := writeColumns(map[string][]cell{"A": {word("k")}, "B": {c.cell}})
			if c.why == "" {
				if err != nil {
					t.Fatal(err)
				}
				return
			}
			var refused Refused
			if !errors.As(err, &refused) || !strings.Contains(err.Error(), c.why) {
				t.Fatalf("got %v, want a refusal: %s", err, c.why)
			}
			if refused.Sheet != "Test" || refused.Row != 3 || refused.Column != "B" || len(data) > 0 {
				t.Errorf("%+v, %d bytes", refused, len(data))
			}
			if strings.Contains(err.Error(), "secret") {
				t.Errorf("the text is in the error: %v", err)
			}
		})
	}
}

// Nothing reaches the writer when a cell is refused, and the error names the entry, never the text.
func TestRefusedWorkbookWritesNothing(t *testing.T) {
	d := demoWard(t)
	e := *d.entries[0]
	e.ID, e.Kind = "00000000-0000-4000-8000-000000000001", "note"
	e.Fields = []entry.Field{{Name: "text", Value: entry.Value{Type: entry.TextValue, Text: "Zephyr\x01"}}}
	var out bytes.Buffer
	err := Workbook(&out, d.handover, append(d.entries, &e), d.policy, "x")
	var refused Refused
	if !errors.As(err, &refused) || refused.Sheet != "Entries" || refused.Of != "entry "+e.ID || refused.Column != "What was charted" {
		t.Errorf("got %v", err)
	}
	if out.Len() > 0 || strings.Contains(err.Error(), "Zephyr") {
		t.Errorf("%d bytes written; %v", out.Len(), err)
	}
}

// Numbers are numbers and show the decimals they were charted with.
func TestNumbersKeepTheirDecimals(t *testing.T) {
	charted := []string{"5", "5.0", "5.00", "0.5", "15.5", "100", "0", "0.0", "-0.42", "-10.0", "0.1", "0.10", "0.3", "37.9999", "10000",
		"99999999999.9999", "0.0001", "123456789012345"}
	var cells []cell
	for _, s := range charted {
		d, err := entry.ParseDecimal(s)
		if err != nil {
			t.Fatal(err)
		}
		cells = append(cells, number(d))
	}
	o := written(t, map[string][]cell{"Number": cells})
	_, shown := o.rows("Test")
	for i, c := range o.column("Test", "Number") {
		if shown[i][0] != charted[i] {
			t.Errorf("%s is shown as %s", charted[i], shown[i][0])
		}
		value, err := entry.ParseDecimal(c.Value)
		if err != nil {
			t.Fatalf("%s is written as %q: %v", charted[i], c.Value, err) // an exponent is refused here
		}
		if want, _ := entry.ParseDecimal(charted[i]); value.Cmp(want) != 0 || c.Type != xlsxreader.TypeNumerical {
			t.Errorf("%s reads back as %s (%s)", charted[i], c.Value, c.Type)
		}
	}
}
