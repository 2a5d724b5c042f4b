package web

import (
	"fmt"
	"html/template"
	"strings"

	"cotline/internal/page"
	"cotline/internal/web/words"
)

// phrase is a text with pieces of markup in it: one sentence to whoever translates it, wherever
// a name, a moment or a link stands in it. All its verbs are %s; a piece that is no markup of
// ours is escaped, as the text is.
func phrase(english string, pieces ...any) template.HTML {
	safe := make([]any, len(pieces))
	for i, x := range pieces {
		if _, ours := x.(template.HTML); !ours {
			x = template.HTMLEscaper(x)
		}
		safe[i] = x
	}
	return template.HTML(fmt.Sprintf(template.HTMLEscapeString(words.Text(english)), safe...)) // #nosec G203 -- escaped above
}

// in puts something into an element that needs nothing said of it.
func in(element string, what any) template.HTML {
	return template.HTML("<" + element + ">" + template.HTMLEscaper(what) + "</" + element + ">") // #nosec G203 -- escaped
}

// slot is where a script puts what it knows, by an attribute that it looks for.
func slot(element, by string) template.HTML {
	return template.HTML("<" + element + " data-" + by + "></" + element + ">") // #nosec G203 -- of our templates alone
}

// moment is a time as it is said, and as programs read it.
func moment(stamp, said string) template.HTML {
	return template.HTML(`<time datetime="` + template.HTMLEscapeString(stamp) + `">` + // #nosec G203 -- escaped
		template.HTMLEscapeString(said) + "</time>")
}

// spans are words of the engine's faces: what somebody wrote stands apart, whatever its direction.
func spans(of []page.Span) template.HTML {
	var b strings.Builder
	for _, x := range of {
		if x.Apart {
			b.WriteString(string(in("bdi", x.Text)))
		} else {
			b.WriteString(template.HTMLEscapeString(x.Text))
		}
	}
	return template.HTML(b.String()) // #nosec G203 -- escaped piece by piece
}
