// Command gosec runs gosec's analyzer alone: its own command would bring the clients of three
// language models, which take longer to build than all else that .ci/run installs.
package main

import (
	"github.com/securego/gosec/v2/goanalysis"
	"golang.org/x/tools/go/analysis/singlechecker"
)

func main() { singlechecker.Main(goanalysis.Analyzer) }
