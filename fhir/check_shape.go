package fhir

import (
	"encoding/json"
	"fmt"
	"reflect"
	"regexp"
	"strings"
	"time"
)

func indexedPath(path string, n int) string { return fmt.Sprintf("%s[%d]", path, n) }

// object holds an object to the model of its type: which elements there are, what
// each holds, which must be there.
func (c *checker) object(n *node, t reflect.Type, path string) {
	if len(n.kids) == 0 || len(n.kids) == 1 && n.names[0] == "resourceType" {
		c.add(path, "ele-1", "an empty object")
	}
	plan := planOf(t)
	for i, name := range n.names {
		here := path + "." + name
		f, ok := fieldOf(plan, name)
		switch {
		case name == "resourceType" && models[t.Name()] == t:
		case ok:
			c.element(n.kids[i], t.Field(f.index).Type, here, name)
		case strings.HasPrefix(name, "_"):
			c.primitive(n, n.kids[i], plan, t, name[1:], here)
		default:
			c.add(here, ruleElement, "no element of %s", t.Name())
		}
	}
	for _, f := range plan {
		if !f.optional && n.at(f.name) == nil {
			c.add(path+"."+f.name, ruleRequired, "missing")
		}
	}
	c.rules(n, t.Name(), path)
}

func fieldOf(plan []field, name string) (field, bool) {
	for _, f := range plan {
		if f.name == name {
			return f, true
		}
	}
	return field{}, false
}

// primitive checks the extension of a primitive element, which the models lack.
func (c *checker) primitive(parent, n *node, plan []field, t reflect.Type, name, path string) {
	f, ok := fieldOf(plan, name)
	if !ok || bare(t.Field(f.index).Type).Kind() == reflect.Struct {
		c.add(path, ruleElement, "no primitive element of that name")
		return
	}
	list := n.list("extension")
	if n.kind != object || len(n.kids) != 1 || len(list) == 0 {
		c.add(path, ruleType, "an object with extension is wanted")
		return
	}
	extension, _ := fieldOf(plan, "extension")
	c.element(n.at("extension"), t.Field(extension.index).Type, path+".extension", "extension")
	if parent.at(name) == nil {
		c.add(path, ruleRequired, "an extension in place of %s", name)
	}
}

func bare(t reflect.Type) reflect.Type {
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice && t != reflect.TypeFor[json.RawMessage]() {
		t = t.Elem()
	}
	return t
}

func (c *checker) element(n *node, t reflect.Type, path, name string) {
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch {
	case n.kind == null:
		c.add(path, "ele-1", "null")
	case t == reflect.TypeFor[json.RawMessage]():
		c.resource(n, path)
	case t.Kind() == reflect.Slice:
		if n.kind != array {
			c.add(path, ruleType, "%s; an array is wanted", kindNames[n.kind])
			return
		}
		if len(n.kids) == 0 {
			c.add(path, "ele-1", "an empty array")
		}
		for i, kid := range n.kids {
			c.element(kid, t.Elem(), indexedPath(path, i), name)
		}
	case t.Kind() == reflect.Struct:
		if c.is(n, object, path) {
			c.object(n, t, path)
		}
	case t == reflect.TypeFor[json.Number]():
		if c.is(n, numeral, path) && !isDecimal(n.value) {
			c.add(path, ruleNumber, "no decimal without exponent")
		}
	case t.Kind() == reflect.Bool:
		c.is(n, truthful, path)
	case reflect.PointerTo(t).Implements(reflect.TypeFor[json.Unmarshaler]()):
		if c.is(n, text, path) && !isCode(t, n.value) {
			c.add(path, ruleCode, "not a code of %s", t.Name())
		}
	case t.Kind() == reflect.Int:
		if c.is(n, numeral, path) && strings.Trim(strings.TrimPrefix(n.value, "-"), "0123456789") != "" {
			c.add(path, ruleNumber, "no whole number")
		}
	default:
		if c.is(n, text, path) {
			c.string(n.value, path, name)
		}
	}
}

func (c *checker) is(n *node, want kind, path string) bool {
	if n.kind != want {
		c.add(path, ruleType, "%s; %s is wanted", kindNames[n.kind], kindNames[want])
	}
	return n.kind == want
}

var (
	idForm       = regexp.MustCompile(`^[A-Za-z0-9\-.]{1,64}$`)
	relativeForm = regexp.MustCompile(`^[A-Za-z]+/[A-Za-z0-9\-.]{1,64}$`)
	fullURLForm  = regexp.MustCompile(`^urn:uuid:[0-9a-f]{8}-[0-9a-f]{4}-[1-8][0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$`)
	dayForm      = regexp.MustCompile(`^[0-9]{4}(-(0[1-9]|1[0-2])(-(0[1-9]|[12][0-9]|3[01]))?)?$`)
)

// Elements that hold a moment or a day, by name: the models have plain strings.
var (
	instants = map[string]bool{"issued": true, "timestamp": true, "lastUpdated": true, "recorded": true, "valueInstant": true, "effectiveInstant": true}
	moments  = map[string]bool{"effectiveDateTime": true, "start": true, "end": true, "recordedOn": true, "time": true, "timingDateTime": true,
		"valueDateTime": true, "deceasedDateTime": true, "authoredOn": true, "lastModified": true, "date": true, "manufactureDate": true, "expirationDate": true}
	dates = map[string]bool{"birthDate": true, "created": true, "valueDate": true}
)

func (c *checker) string(s, path, name string) {
	if err := sound(s); err != nil {
		c.add(path, ruleString, "%s", err.Error())
		return
	}
	switch {
	case name == "id" && !strings.Contains(path, ".differential.") && (!idForm.MatchString(s) || strings.Trim(s, "0123456789") == ""):
		c.add(path, ruleID, "1 to 64 of A-Za-z0-9-. are wanted, a letter among them")
	case instants[name] && !timeForm.MatchString(s):
		c.add(path, ruleDate, "a time with seconds and offset is wanted")
	case moments[name] && !timeForm.MatchString(s) && !dayForm.MatchString(s):
		c.add(path, ruleDate, "a day, or a time with seconds and offset, is wanted")
	case dates[name] && !dayForm.MatchString(s):
		c.add(path, ruleDate, "a day is wanted")
	case (instants[name] || moments[name] || dates[name]) && !onCalendar(s):
		c.add(path, ruleDate, "no such day")
	}
}

// onCalendar says whether a day exists; the zero time of a program does not.
func onCalendar(s string) bool {
	if len(s) < len("2006-01-02") {
		return s > "0001"
	}
	_, err := time.Parse("2006-01-02", s[:10])
	return err == nil && s[:4] > "0001"
}
