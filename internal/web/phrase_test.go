package web

import (
	"html/template"
	"testing"

	"cotline/internal/page"
)

// A sentence stays one text wherever markup stands in it, and nothing that somebody wrote
// becomes markup: no piece, no span of the engine's words, and no text of another language.
func TestPhrase(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ got, want template.HTML }{
		{phrase("From %s to %s.", in("strong", "<b>"), `a & "b"`), "From <strong>&lt;b&gt;</strong> to a &amp; &#34;b&#34;."},
		{phrase("%s of <%s>", slot("span", "count"), 3), "<span data-count></span> of &lt;3&gt;"},
		{phrase("As of %s.", moment(`2026-10-25T07:30:00+01:00"`, "07:30 <")),
			`As of <time datetime="2026-10-25T07:30:00+01:00&#34;">07:30 &lt;</time>.`},
		{spans([]page.Span{{Text: "no. <1>"}, {Text: "a&b", Apart: true}}), "no. &lt;1&gt;<bdi>a&amp;b</bdi>"},
	} {
		if c.got != c.want {
			t.Errorf("%s; wanted %s", c.got, c.want)
		}
	}
}
