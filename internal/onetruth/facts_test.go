package onetruth

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"
)

// facts are what a face tells: by infant and path of handover.json, in its words.
// An item of a list goes by its name, in brackets: "in-02 tubes[feeding].markCm".
type facts map[string]string

// The two words for no value; what does not apply has no fact.
const (
	notCharted = "not charted"
	none       = "none" // looked, and found nothing
)

// unit stands in place of the infant's key for what is of the whole unit.
const unit = "unit"

// put adds a fact. A face may tell one twice, but not in two ways.
func (f facts) put(key, value string) {
	if old, ok := f[key]; ok && old != value {
		value = old + " AND " + value
	}
	f[key] = value
}

// items name the items of each list; where the name comes twice, #2 stands behind.
var items = map[string]func(map[string]any) string{
	"infants": field("infant"), "left": field("cot"), "late": field("entry"),
	"skin.sites": field("site"), "tubes": field("use"), "setup.points": field("gasPercent"), "bonnet.reasons": field("reason"),
	"cares": field("what"), "plans": field("what", "care"), "due": field("what", "care", "text"), "changes": field("path"),
	"attention": field("what", "path"), "next": field("what", "care", "text"), "old": field("path"), "doubts": field("code"),
	"notComputed":  field("path"),
	"safety.items": field("item"), "told": field("about"),
	"notes": field("text"), "tasks": field("text"), "remarks": field("why"), "thresholds": field("name"),
	"alarms": field("about"), "alarms.tried": field("cause"), "outlook.ifThen": field("if"), "lookAlikes": field("infant"),
	"conflicts": field("what", "infant"),
}

func field(names ...string) func(map[string]any) string {
	return func(o map[string]any) string {
		var out []string
		for _, n := range names {
			if v, ok := o[n]; ok {
				out = append(out, fmt.Sprint(v))
			}
		}
		return strings.Join(out, " ")
	}
}

// factsOfJSON are all leaves of handover.json: numbers with the digits they have
// there, a list of words as one fact. A text is read once.
func factsOfJSON(t testing.TB, text []byte) facts {
	t.Helper()
	if known, ok := leavesRead[string(text)]; ok {
		return maps.Clone(known)
	}
	d := json.NewDecoder(bytes.NewReader(text))
	d.UseNumber()
	var top map[string]any
	if err := d.Decode(&top); err != nil {
		t.Fatal(err)
	}
	f := facts{}
	infants := top["infants"].([]any)
	delete(top, "infants")
	f.leaves(unit, "", "", top)
	for _, x := range infants {
		who := x.(map[string]any)
		f.attention(who)
		f.leaves(who["infant"].(string), "", "", who)
	}
	leavesRead[string(text)] = maps.Clone(f)
	return f
}

var leavesRead = map[string]facts{}

// leaves adds what lies below a value; general is its path without names.
func (f facts) leaves(who, path, general string, v any) {
	switch v := v.(type) {
	case nil:
		f.put(who+" "+path, notCharted)
	case map[string]any:
		if len(v) == 0 {
			f.put(who+" "+path, none)
		}
		for name, x := range v {
			f.leaves(who, dotted(path, name), dotted(general, name), x)
		}
	case []any:
		if len(v) == 0 {
			f.put(who+" "+path, none)
			return
		}
		if _, ok := v[0].(map[string]any); !ok {
			var words []string
			for _, x := range v {
				words = append(words, fmt.Sprint(x))
			}
			f.put(who+" "+path, strings.Join(words, ", "))
			return
		}
		names := namer{}
		for _, x := range v {
			o := x.(map[string]any)
			f.leaves(who, path+"["+names.next(items[general](o))+"]", general, o)
		}
	default:
		f.put(who+" "+path, fmt.Sprint(v))
	}
}

// attention adds the whole of what must be seen first, in its order: "attention.words".
func (f facts) attention(infant map[string]any) {
	var rows []attentionRow
	for _, x := range infant["attention"].([]any) {
		a := x.(map[string]any)
		rows = append(rows, attentionRow{fmt.Sprint(a["level"]), fmt.Sprint(a["text"])})
	}
	if len(rows) > 0 {
		f.put(fmt.Sprint(infant["infant"])+" attention.words", attentionSaid(rows))
	}
}

func dotted(path, name string) string { return strings.TrimPrefix(path+"."+name, ".") }

// namer keeps items of one name apart.
type namer map[string]int

func (n namer) next(name string) string {
	if n[name]++; n[name] > 1 {
		return fmt.Sprint(name, "#", n[name])
	}
	return name
}

// general is a fact's path without infant and names: tubes[].markCm.
func general(key string) string {
	path, known := generals[key]
	if !known {
		path = generalOf(key)
		generals[key] = path
	}
	return path
}

var generals = map[string]string{} // each key is asked for at every comparison

func generalOf(key string) string {
	_, path, _ := strings.Cut(key, " ")
	var b strings.Builder
	depth := 0
	for _, r := range path {
		switch r {
		case '[':
			if depth == 0 {
				b.WriteByte('[')
			}
			depth++
		case ']':
			if depth--; depth == 0 {
				b.WriteByte(']')
			}
		default:
			if depth == 0 {
				b.WriteRune(r)
			}
		}
	}
	return b.String()
}

// differ says where a face and the JSON differ, at most so many lines.
func differ(want, got facts) []string {
	var out []string
	for _, key := range slices.Sorted(maps.Keys(want)) {
		if is, ok := got[key]; !ok {
			out = append(out, fmt.Sprintf("%s is not told: %s", key, want[key]))
		} else if is != want[key] {
			out = append(out, fmt.Sprintf("%s is %s, want %s", key, is, want[key]))
		}
	}
	for _, key := range slices.Sorted(maps.Keys(got)) {
		if _, ok := want[key]; !ok {
			out = append(out, fmt.Sprintf("%s is told, and handover.json has no such fact: %s", key, got[key]))
		}
	}
	return out
}

// minute is a moment as a face of clock times can tell it.
const minute = "2006-01-02T15:04-07:00"

func toMinute(stamp string) string {
	t, err := time.Parse(time.RFC3339, stamp)
	if err != nil {
		return stamp
	}
	return t.Format(minute)
}
