package intake

import (
	"slices"
	"strings"

	"github.com/google/uuid"

	"cotline/handover/entry"
)

// Mapping says how a table whose headers are not the record's fields is read.
//
//	sheet: Night weights        # this sheet of a workbook alone
//	source: scales of the bay   # whose rows are numbered: an entry's id is made of this name and its row's number
//	columns: {Weighed: at, "Weight (g)": weightG, Row: id, Key: infant}
//	fixed: {kind: weight, by: rn-1}
//	ignore: [Scale]
//
// Headers are compared without the blanks around and line breaks within them. A header that is a field needs no line.
type Mapping struct {
	sheet   string
	source  string            // empty: ids are UUIDs
	columns map[string]string // fields by header
	fixed   []entry.Field
	ignored map[string]bool // headers
}

// ReadMapping reads a mapping.
func ReadMapping(text []byte) (*Mapping, []entry.Issue) {
	v, issues := parseYAML(text)
	if len(issues) > 0 {
		return nil, issues
	}
	m := mapper{Mapping: Mapping{columns: map[string]string{}, ignored: map[string]bool{}}, fields: map[string]bool{}}
	if v.Type != entry.ObjectValue {
		m.add(v, "", entry.CodeType, "a map with "+mapKeys)
		return nil, m.issues
	}
	for _, f := range v.Fields {
		m.key(f.Name, f.Value)
	}
	if len(m.issues) > 0 {
		return nil, m.issues
	}
	return &m.Mapping, nil
}

const mapKeys = "sheet, source, columns, fixed, ignore"

type mapper struct {
	Mapping
	fields map[string]bool // mapped or fixed
	issues []entry.Issue
}

// add tells a fault without what was found: a fixed value may be a name.
func (m *mapper) add(v entry.Value, path string, code entry.Code, allowed string) {
	m.issues = append(m.issues, entry.Issue{Line: v.Line, Path: path, Code: code, Allowed: allowed})
}

// found tells a fault of a value that names a field or a kind, and shows it.
func (m *mapper) found(v entry.Value, path string, code entry.Code, allowed string) {
	m.issues = append(m.issues, entry.Issue{Line: v.Line, Path: path, Code: code, Found: v.Quoted(), Allowed: allowed})
}

func (m *mapper) key(name string, v entry.Value) {
	switch name {
	case "sheet":
		if v.Type != entry.TextValue {
			m.add(v, name, entry.CodeType, "the name of a sheet")
		}
		m.sheet = v.Text
	case "source":
		if v.Type != entry.TextValue || strings.TrimSpace(v.Text) == "" {
			m.add(v, name, entry.CodeType, "a name for where the rows come from, the same at each charting")
		}
		m.source = v.Text
	case "columns":
		for _, f := range m.object(name, v) {
			if f.Value.Type != entry.TextValue || !known(f.Value.Text) {
				m.found(f.Value, name+"."+shown(f.Name), entry.CodeUnknownField, aField)
			} else {
				m.once(name+"."+shown(f.Name), f.Value.Text, f.Value)
			}
			m.columns[plain(f.Name)] = f.Value.Text
		}
	case "fixed":
		for _, f := range m.object(name, v) {
			if !known(f.Name) {
				m.add(f.Value, name+"."+shown(f.Name), entry.CodeUnknownField, aField)
			} else {
				m.once(name+"."+f.Name, f.Name, f.Value)
			}
			m.fix(f)
		}
	case "ignore":
		if v.Type != entry.ListValue {
			m.add(v, name, entry.CodeType, "a list of headers")
		}
		for _, h := range v.List {
			m.ignored[plain(h.Text)] = true
		}
	default:
		m.add(v, shown(name), entry.CodeUnknownField, "one of "+mapKeys)
	}
}

func (m *mapper) object(name string, v entry.Value) []entry.Field {
	if v.Type != entry.ObjectValue {
		m.add(v, name, entry.CodeType, "a map")
		return nil
	}
	return v.Fields
}

const aField = "a field of an entry, as cotline schema tells it"

// once checks that a field is named once.
func (m *mapper) once(path, field string, v entry.Value) {
	if m.fields[field] {
		m.add(v, path, entry.CodeDuplicateField, "each field once: in one column, or fixed")
	}
	m.fields[field] = true
}

func (m *mapper) fix(f entry.Field) {
	switch f.Name {
	case "id":
		m.add(f.Value, "fixed.id", entry.CodeDuplicateField, "a column: each entry has an id of its own")
	case "kind":
		if _, ok := entry.KindOf(f.Value.Text); !ok {
			m.found(f.Value, "fixed.kind", entry.CodeUnknownKind, "a kind of entry, as cotline schema tells it")
		}
	}
	m.fixed = append(m.fixed, f)
}

// kind is the fixed kind of the whole table, empty for none.
func (m *Mapping) kind() string {
	i := slices.IndexFunc(m.fixed, func(f entry.Field) bool { return f.Name == "kind" })
	if i < 0 {
		return ""
	}
	return m.fixed[i].Value.Text
}

// id is the id of the entry in a row of the source's own number: the same row charted again has the same.
func (m *Mapping) id(row string) string {
	source := uuid.NewSHA1(uuid.NameSpaceURL, []byte("cotline table\n"+m.source))
	return uuid.NewSHA1(source, []byte(row)).String()
}

// reads says whether a sheet of that name is to be read.
func (m *Mapping) reads(sheet string) bool { return m == nil || m.sheet == "" || m.sheet == sheet }
