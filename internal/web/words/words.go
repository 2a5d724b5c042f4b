// Package words is the catalogue of what pages say: every text of the templates and of Go,
// in English, which is the key; scripts show what stands in templates. What the record, the
// policy, the kinds of entries and the engine's sentences say is none of it: that is data,
// and said alike on every face.
//
// A text is a sentence or, where a template says something only at times, the part of one.
// catalogue.txt lists them all; TestCatalogue holds it to the sources, both ways. Another
// language is a function from English to its own text.
package words

import (
	"fmt"
	"sync/atomic"
)

// In is a language: it gives the text that stands for an English one, with the same verbs
// in the same order.
type In func(english string) string

// English says what is asked, as it is.
func English(text string) string { return text }

var spoken atomic.Pointer[In]

// Speak has all pages of this process say their texts in a language from now on; templates
// that were read before keep theirs.
func Speak(in In) { spoken.Store(&in) }

// Text is a text in the language that is spoken.
func Text(english string) string {
	if in := spoken.Load(); in != nil {
		return (*in)(english)
	}
	return english
}

// Say is a text with what its verbs stand for, as fmt.Sprintf has it.
func Say(english string, args ...any) string { return fmt.Sprintf(Text(english), args...) }

// Key is an English text that is kept, in a table, until Text says it.
func Key(english string) string { return english }
