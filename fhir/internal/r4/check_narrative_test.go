package r4

import (
	"strings"
	"testing"
)

var narratives = []struct{ inner, rule string }{
	{"<p>a</p>", ""}, {"a<br/>b", ""}, {"<ul><li>36.8 °C</li></ul>", ""}, {"a &lt; b &amp; c &gt; d", ""},
	{"<table><tr><td>a</td></tr></table>", ""},
	{"a &#233;", ""}, {"a<br />b", ""}, {"<p>a</p >", ""}, {"a\nb\tc", ""}, {"&quot;a&quot;", ""}, {"a > b", ""},
	{"", "txt-2"}, {" \n", "txt-2"}, {"<p> </p>", "txt-2"}, {"\u00a0", "txt-2"}, {"<p></p><br/>", "txt-2"}, {"&#160;", "txt-2"},
	{"<p>a", "txt-1"}, {"a</p>", "txt-1"}, {"<p>a</b>", "txt-1"}, {"<i>a</i>", "txt-1"}, {"<p x=\"1\">a</p>", "txt-1"},
	{"<P>a</P>", "txt-1"}, {"a & b", "txt-1"},
	{"&nbsp;a", "txt-1"}, {"a ]]> b", "txt-1"}, {"<!-- x -->a", "txt-1"}, {"<?x y?>a", "txt-1"}, {"a\x01", "txt-1"}, {"a\ufffe", "txt-1"},
	{"<>a", "txt-1"}, {"<p/>a</div>b<div>", "txt-1"},
	{"a</div><div xmlns=\"" + xhtml + "\">b", "txt-1"}, {"a<", "txt-1"}, {"<a:p>x</a:p>", "txt-1"}, {"<script>x</script>", "txt-1"},
	{strings.Repeat("<b>", 9) + "a" + strings.Repeat("</b>", 9), ""},
}

func inDiv(inner string) string { return opening + inner + "</div>" }

func TestNarratives(t *testing.T) {
	for _, n := range narratives {
		if rule, says := narrativeFault(inDiv(n.inner)); rule != n.rule {
			t.Errorf("%q: %s %s; %s is wanted", n.inner, rule, says, n.rule)
		}
		holdPlainly(t, inDiv(n.inner))
	}
	for _, s := range []string{"", "a", "<div>a</div>", inDiv("a") + "b", inDiv("a") + inDiv("b"), "<p xmlns=\"" + xhtml + "\">a</p>",
		strings.Replace(inDiv("a"), ">", " lang=\"x\">", 1)} {
		if rule, _ := narrativeFault(s); rule == "" {
			t.Errorf("%q is taken", s)
		}
		holdPlainly(t, s)
	}
	if !plainly(&Part{Kind: Text, Value: inDiv("<p>36.8 °C</p><ul><li>a &amp; b</li></ul>")}) {
		t.Error("what is written here is not known at a glance")
	}
}

// holdPlainly: what is taken at a glance is what the decoder takes.
func holdPlainly(t *testing.T, div string) {
	t.Helper()
	if !plainly(&Part{Kind: Text, Value: div}) {
		return
	}
	if rule, says := narrativeFault(div); rule != "" {
		t.Fatalf("%q is taken: %s %s", div, rule, says)
	}
}

func FuzzNarrative(f *testing.F) {
	for _, n := range narratives {
		f.Add(inDiv(n.inner))
	}
	f.Fuzz(func(t *testing.T, div string) {
		if Sound(div) == nil { // as every string is
			holdPlainly(t, div)
		}
	})
}
