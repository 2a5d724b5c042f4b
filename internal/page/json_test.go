package page

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/wardtest"

	"github.com/google/go-cmp/cmp"
)

// keyed is a JSON value that keeps the order of keys; numbers keep their digits.
type keyed struct {
	keys   []string
	fields map[string]keyed
	items  []keyed
	scalar string // as it stands in the JSON
	kind   byte   // '{', '[' or 's'
}

func parse(t testing.TB, text []byte) keyed {
	t.Helper()
	d := json.NewDecoder(bytes.NewReader(text))
	d.UseNumber()
	v, err := parseValue(d)
	if err != nil {
		t.Fatalf("not JSON: %v", err)
	}
	if d.More() {
		t.Fatal("more than one JSON value")
	}
	return v
}

func parseValue(d *json.Decoder) (keyed, error) {
	token, err := d.Token()
	if err != nil {
		return keyed{}, err
	}
	switch token {
	case json.Delim('{'):
		v := keyed{kind: '{', fields: map[string]keyed{}}
		for d.More() {
			key, err := d.Token()
			if err != nil {
				return keyed{}, err
			}
			if _, twice := v.fields[key.(string)]; twice {
				return keyed{}, fmt.Errorf("key %s stands twice", key)
			}
			v.keys = append(v.keys, key.(string))
			if v.fields[key.(string)], err = parseValue(d); err != nil {
				return keyed{}, err
			}
		}
		_, err := d.Token()
		return v, err
	case json.Delim('['):
		v := keyed{kind: '['}
		for d.More() {
			item, err := parseValue(d)
			if err != nil {
				return keyed{}, err
			}
			v.items = append(v.items, item)
		}
		_, err := d.Token()
		return v, err
	}
	text, err := json.Marshal(token)
	return keyed{kind: 's', scalar: string(text)}, err
}

// interchange are the keys that programs rely on, in their order. One item
// stands for a list.
const interchange = `{"unit":0,"at":0,"known":0,"policy":0,"position":0,"chain":0,"late":[{"infant":0,"entry":0,"how":0,"kind":0,"at":0,` +
	`"charted":0,"by":0,"text":0}],
"left":[{"infant":0,"cot":0,"family":0,"at":0,"to":0,"place":0}],"notes":[],"tasks":[],
"infants":[{"infant":0,"attention":[{"what":0,"level":0,"text":0,"path":0,"at":0,"entry":0}],"next":[{"what":0,"dueAt":0,"overdueAt":0,"on":0}],"old":[{"path":0,"at":0}],
"doubts":[{"code":0,"path":0,"text":0,"entry":0}],
"handedOver":{"entry":0,"by":0,"to":0,"asOf":0,"at":0,"accepted":{"by":0,"at":0,"confirmed":[],"notConfirmed":[],"readBack":0,"asked":0}},
"cot":0,"mrn":0,"temporary":0,"family":0,"given":0,"formerly":0,"sex":0,"mother":0,"birthOrder":0,"multiples":0,"since":0,"new":0,
"age":{"gestation":0,"postmenstrual":0,"about":0,"dayOfLife":0},
"support":{"state":0,"mode":0,"since":0,"modeSince":0,"driver":0,"stoppedAt":0,"reason":0},
"settings":{"pressureCmH2O":{"value":0,"at":0,"by":0,"entry":0,"corrected":{"by":0,"charted":0}}},
"fio2":{"minPercent":0,"maxPercent":0,"meanPercent":0,"rises":0},
"spo2":{"count":0,"below":0,"inTarget":0,"above":0,"noTarget":0},
"indices":{"at":0,"sf":0,"severity":0,"osi":0},
"observations":{"spo2Percent":{"value":0,"at":0}},"silverman":{"total":0,"at":0},"weight":{"weightG":0,"at":0,"z":0,"centile":0,"standard":0},
"episodes":{"window":{"count":0,"apnoea":0,"bradycardia":0,"desaturation":0,"by-itself":0,"touched":0},"day":{"count":0},"helpedAt":0},
"interface":{"type":0,"size":0,"since":0,"entry":0},
"rotation":{"last":{"at":0,"from":0,"to":0,"entry":0},"dueAt":0,"overdueAt":0,"state":0},
"hoursUnder":{},
"skin":{"checkedAt":0,"worst":0,"worstSite":0,"worstAt":0,"sites":[{"site":0,"finding":0,"also":[],"underBarrier":0,"change":0,"at":0,"entry":0}],"unseen":[],"dueAt":0,"overdueAt":0,"dueSites":[],"state":0},
"tubes":[{"use":0,"route":0,"sizeFr":0,"markCm":0,"referenceMarkCm":0,"moved":0,"checkedAt":0,"entry":0,"ph":{"value":0,"at":0},"aspirate":0,"estimateCm":0,"estimateBy":0,"estimateWeightAt":0}],
"head":{"circumferenceCm":0,"at":0,"unreliable":0,"z":0,"centile":0,"standard":0,"noZ":0,"growthCmPerWeek":0,"growthFrom":{"circumferenceCm":0,"at":0},"withinError":0,"entry":0},
"bonnet":{"size":0,"since":0,"dueOn":0,"reason":0,"reasons":[{"reason":0,"on":0}],"state":0,"checkFrom":0,"latest":0,"fits":0},
"humidifier":{"state":0,"chamberC":0,"inTolerance":0,"at":0,"readyBeforeUse":0,"water":0,"waterEmptyAt":0},
"setup":{"calibrated":0,"points":[{"gasPercent":0,"readPercent":0,"ok":0}],"sealHeld":0,"notDone":[],"notCharted":[],"circuitDueOn":0,"probeCaution":0},
"cares":[{"what":0,"at":0,"window":0}],"alarms":[],"outlook":{"severity":0,"ifThen":[{"if":0,"then":0}],"callFor":0},"notes":[],"plans":[],
"due":[{"what":0,"at":0,"on":0,"state":0,"until":0,"why":0}],
"changes":[{"path":0,"from":0,"to":0,"why":0,"entry":0}],
"remarks":[],"thresholds":[],"gaps":[],"notComputed":[{"path":0,"why":0}],
"conflicts":[{"what":0,"value":0,"infant":0}],"lookAlikes":[{"infant":0,"why":0}]}]}`

func TestJSONHasTheKeysInTheirOrder(t *testing.T) {
	sameKeys(t, "", parse(t, []byte(interchange)), parse(t, JSON(filled(new([]string)))))
}

func sameKeys(t *testing.T, path string, want, got keyed) {
	t.Helper()
	if len(want.items) > 0 {
		if len(got.items) == 0 {
			t.Errorf("%s is empty", path)
			return
		}
		sameKeys(t, path+"[]", want.items[0], got.items[0])
	}
	var both []string
	for _, key := range got.keys {
		if _, ok := want.fields[key]; ok {
			both = append(both, key)
		}
	}
	if diff := cmp.Diff(want.keys, both); diff != "" {
		t.Errorf("keys of %s (-want +got):\n%s", path, diff)
	}
	for _, key := range both {
		sameKeys(t, path+"."+key, want.fields[key], got.fields[key])
	}
}

// Each fact of a handover in which no two are alike is found in the JSON.
func TestJSONHasEveryFact(t *testing.T) {
	var facts []string
	text := string(JSON(filled(&facts)))
	for _, fact := range facts {
		path, value, _ := strings.Cut(fact, "=")
		if strings.HasPrefix(path, ".Elsewhere") { // infants whom the face was not asked for
			if len(value) > 5 && strings.Contains(text, value) {
				t.Errorf("%s (%s) is in the JSON", path, value)
			}
			continue
		}
		if !strings.Contains(text, value) && !toldElsewhere(path) {
			t.Errorf("%s (%s) is not in the JSON", path, value)
		}
	}
	if len(facts) < 380 {
		t.Errorf("only %d facts were made up", len(facts))
	}
}

// toldElsewhere are facts that the JSON has once, under another name.
func toldElsewhere(path string) bool {
	return slices.ContainsFunc([]string{
		".Infants[0].Support.Source.At",           // since, modeSince or stoppedAt
		".Infants[0].Interface.Value.Source.At",   // since
		".Infants[0].Bonnet.Value.Source.At",      // since
		".Infants[0].BirthWeight.Value.Source.At", // birth
		".Infants[0].Skin.Checked.",               // the sites have it
		".Infants[0].Setup.Value.Unread",          // gaps and notComputed name them
		".Infants[0].Skin.Worst.",                 // one of the sites
		".Findings[",                              // within the warning
	}, func(told string) bool { return strings.HasPrefix(path, told) })
}

// filled is a handover with every field set, each to something of its own; facts
// lists path=JSON text.
func filled(facts *[]string) *handover.Handover {
	h := &handover.Handover{}
	n := 1000
	fill(reflect.ValueOf(h).Elem(), "", &n, facts)
	h.Zone = time.UTC
	s := h.Infants[0]
	s.Restricted, h.Left[0].Restricted = false, false
	s.BirthOrder, s.Multiples = "1", "2"
	s.Settings[0].Field, s.Observations[0].Field = "pressureCmH2O", "spo2Percent"
	s.Changes[0].From.Bare, s.Changes[0].To.Bare = false, false
	return h
}

func fill(v reflect.Value, path string, n *int, facts *[]string) {
	*n++
	note := func(text string) { *facts = append(*facts, path+"="+text) }
	switch v.Interface().(type) {
	case entry.Decimal:
		v.Set(reflect.ValueOf(dec(fmt.Sprintf("%d.50", *n))))
		note(fmt.Sprintf("%d.50", *n))
		return
	case entry.Date:
		d := day("2001-01-01").Add(*n)
		v.Set(reflect.ValueOf(d))
		note(`"` + d.String() + `"`)
		return
	case time.Time:
		at := time.Date(2026, 1, 1, 0, 0, *n, 0, time.UTC)
		v.Set(reflect.ValueOf(at))
		note(`"` + at.Format("2006-01-02T15:04:05") + `+00:00"`)
		return
	case *time.Location:
		return
	}
	switch v.Kind() {
	case reflect.String:
		v.SetString(fmt.Sprintf("s%d", *n))
		if !slices.Contains([]string{"BirthOrder", "Multiples", "Field"}, path[strings.LastIndex(path, ".")+1:]) {
			note(fmt.Sprintf(`"s%d"`, *n))
		}
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int, reflect.Int64:
		v.SetInt(int64(*n))
		note(fmt.Sprint(*n))
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fill(v.Elem(), path, n, facts)
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		fill(v.Index(0), path+"[0]", n, facts)
	case reflect.Array:
		for i := range v.Len() {
			fill(v.Index(i), fmt.Sprintf("%s[%d]", path, i), n, facts)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			name := v.Type().Field(i).Name
			if name == "Why" && strings.HasPrefix(v.Type().Name(), "Maybe[") {
				continue // only of what is left out
			}
			fill(v.Field(i), path+"."+name, n, facts)
		}
	default:
		panic("no way to fill " + path)
	}
}

var (
	offsetTime = regexp.MustCompile(`^"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d[+-]\d\d:\d\d"$`)
	civilDay   = regexp.MustCompile(`^"\d{4}-\d\d-\d\d"$`)
)

// Moments have a numeric offset, never Z; what is due on a day is a civil day.
func TestJSONMoments(t *testing.T) {
	moments := map[string]bool{"at": true, "known": true, "since": true, "modeSince": true, "charted": true, "dueAt": true,
		"overdueAt": true, "until": true,
		"checkedAt": true, "worstAt": true, "aspirateAt": true, "estimateWeightAt": true, "helpedAt": true, "settledAt": true,
		"waterEmptyAt": true, "referenceAt": true}
	days := map[string]bool{"on": true, "dueOn": true, "circuitDueOn": true, "checkFrom": true, "latest": true}
	seen := 0
	eachField(parse(t, JSON(twoInfants())), func(key string, v keyed) {
		if v.kind != 's' || v.scalar == "null" {
			return
		}
		seen++
		switch {
		case moments[key] && !offsetTime.MatchString(v.scalar):
			t.Errorf("%s is %s", key, v.scalar)
		case days[key] && !civilDay.MatchString(v.scalar):
			t.Errorf("%s is %s", key, v.scalar)
		}
	})
	if seen < 200 {
		t.Errorf("only %d values", seen)
	}
}

func eachField(v keyed, visit func(key string, v keyed)) {
	for _, key := range v.keys {
		visit(key, v.fields[key])
		eachField(v.fields[key], visit)
	}
	for _, item := range v.items {
		eachField(item, visit)
	}
}

// at follows a path of keys and, for lists, "key=value" of an item.
func (v keyed) at(t testing.TB, path ...string) keyed {
	t.Helper()
	for _, key := range path {
		if name, value, isItem := strings.Cut(key, "="); isItem {
			i := slices.IndexFunc(v.items, func(item keyed) bool { return item.fields[name].scalar == `"`+value+`"` })
			if i < 0 {
				t.Fatalf("no item %s of %v", key, path)
			}
			v = v.items[i]
			continue
		}
		next, ok := v.fields[key]
		if !ok {
			t.Fatalf("no key %s of %v", key, path)
		}
		v = next
	}
	return v
}

// Values come out as they went in: digits kept, bare numbers bare, text as text.
func TestJSONValues(t *testing.T) {
	infant := parse(t, JSON(twoInfants())).at(t, "infants", "infant=inf-1")
	for _, c := range []struct{ path, want string }{
		{"settings pressureCmH2O value", "6.0"},
		{"settings pressureCmH2O at", `"2026-10-25T03:10:00+00:00"`},
		{"settings flowLMin at", `"2026-10-25T00:10:00+01:00"`},
		{"settings flowLMin corrected charted", `"2026-10-25T00:45:00+01:00"`},
		{"support charted", `"2026-10-24T11:00:00+01:00"`},
		{"birthOrder", "1"}, {"multiples", "2"},
		{"age postmenstrual", `"30+1"`}, {"age about", "false"}, {"age dayOfLife", "20"},
		{"fio2 meanPercent", "28.80"},
		{"observations spo2Site value", `"foot"`}, {"observations spo2Percent value", "91"},
		{"weight z", "-0.27"}, {"birthWeight noZ", `"gestation"`},
		{"episodes window bagged", "1"}, {"episodes day not-yet", "0"},
		{"hoursUnder philtrum", "23.41"},
		{"tubes use=feeding ph value", "5.0"}, {"tubes use=venting sizeFr", "null"},
		{"bonnet dueOn", `"2026-10-24"`}, {"setup circuitDueOn", `"2026-10-26"`},
		{"due what=bonnet on", `"2026-10-24"`},
		{"changes path=settings.fio2Percent from", "26"},
		{"changes path=bonnet.in from", "null"}, {"changes path=bonnet.in to", "true"},
		{"changes path=skin.sites.septum to", `"stage-1"`},
		{"notes entry=00000049-0000-4000-8000-000000000000 readOut", "true"},
	} {
		if got := infant.at(t, strings.Fields(c.path)...); got.scalar != c.want {
			t.Errorf("%s is %s, want %s", c.path, got.scalar, c.want)
		}
	}
}

// Each null of the JSON is a gap of the handover or told as not computed. Those that
// are neither are the rotation before the first, values of changes, what was not
// charted of an acceptance, and what is told once: the skin that nobody checked, the
// bonnet of which nothing is charted, a size of which the unit has no list, an upper
// bound in air.
func TestNullsAreGaps(t *testing.T) {
	wards := map[string]*handover.Handover{"by hand": twoInfants(), "demo": demo(t)}
	for seed := range uint64(3) {
		wards[fmt.Sprintf("random %d", seed)] = random(t, seed)
	}
	for name, h := range wards {
		for i, infant := range parse(t, JSON(h)).fields["infants"].items {
			nulls := nullPaths("", infant)
			gaps := slices.Clone(h.Infants[i].Gaps)
			told := slices.Concat(gaps, []string{"interface.size", "settings.spo2HighPercent"})
			for _, n := range h.Infants[i].NotComputed {
				told = append(told, n.Path)
			}
			for _, path := range nulls {
				once := strings.HasPrefix(path, "skin.") && slices.Contains(gaps, "skin") ||
					path == "bonnet.size" && slices.Contains(gaps, "bonnet")
				if !once && !strings.HasPrefix(path, "handedOver.") && !slices.Contains(told, path) {
					t.Errorf("%s, %s: %s is null, and neither a gap nor told as not computed", name, h.Infants[i].Infant, path)
				}
			}
			for _, path := range told {
				if pathSaid(path) == path && handover.LabelOf(path) == "" {
					t.Errorf("gap %s has no words", path)
				}
			}
		}
	}
}

func nullPaths(path string, v keyed) (out []string) {
	for _, key := range v.keys {
		sub := strings.TrimPrefix(path+"."+key, ".")
		switch field := v.fields[key]; {
		case sub == "changes" || sub == "rotation.last":
		case field.scalar == "null":
			out = append(out, sub)
		default:
			out = append(out, nullPaths(sub, field)...)
		}
	}
	for _, item := range v.items {
		name := ""
		for _, key := range []string{"use", "site", "what"} {
			if f, ok := item.fields[key]; ok && name == "" {
				name = strings.Trim(f.scalar, `"`)
			}
		}
		out = append(out, nullPaths(path+"."+name, item)...)
	}
	return out
}

// random is a handover of a random ward at its last moment.
func random(t testing.TB, seed uint64) *handover.Handover {
	t.Helper()
	return wardtest.Random(t, seed, 8, 2).Handover
}
