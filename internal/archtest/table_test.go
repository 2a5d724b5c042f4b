package archtest

// row is what a package may import, and what it must never do.
type row struct {
	module []string // packages of this module; a trailing /... takes in those below; * is all
	others []string // third parties, by path or the start of it
	never  []string // of ban
	why    string
}

// table is the direction that the module's code depends in. A package without a
// row fails. Tests may import more; nothing may import tests.
var table = map[string]row{
	"handover/entry": {
		others: []string{"github.com/cockroachdb/apd/v3", "golang.org/x/text", "github.com/go-json-experiment/json/jsontext"},
		never:  []string{"files", "network", "storage", "logs", "clock", "randomness", "encoding/json", "tags"},
		why: "an entry knows no policy and no handover; its canonical text is part of the record's contract, so it " +
			"reads and writes JSON by tokens",
	},
	"handover": {
		module: []string{"handover/entry"},
		others: []string{"github.com/cockroachdb/apd/v3", "golang.org/x/text"},
		never:  []string{"files", "network", "storage", "logs", "clock", "randomness", "encoding/json", "tags"},
		why:    "a handover is a function of entries, policy and moments",
	},
	"fhir/internal/r4": {
		module: []string{"handover", "handover/entry"},
		others: []string{"github.com/samply/golang-fhir-models/fhir-models", "github.com/google/uuid"},
		never:  []string{"files", "network", "storage", "logs", "clock", "randomness", "random ids"},
		why:    "what makes one sound resource knows nothing of who makes it",
	},
	"fhir": {
		module: []string{"handover", "handover/entry", "fhir/internal/r4"},
		others: []string{"github.com/samply/golang-fhir-models/fhir-models", "github.com/google/uuid"},
		never:  []string{"files", "network", "storage", "logs", "clock", "randomness", "random ids"},
		why:    "the same record makes the same resources and ids, so that sending again changes nothing",
	},
	"fhir/read": {
		module: []string{"handover", "handover/entry", "fhir/internal/r4"},
		others: []string{"github.com/samply/golang-fhir-models/fhir-models", "github.com/google/uuid"},
		never:  []string{"files", "network", "storage", "logs", "clock", "randomness", "random ids"},
		why:    "what is read back is judged by R4 and the record, never by how we would have written it",
	},
	"fhir/guide": {
		module: []string{"handover", "handover/entry", "fhir/internal/r4", "fhir"},
		others: []string{"github.com/samply/golang-fhir-models/fhir-models"},
		never:  []string{"files", "network", "storage", "logs", "clock", "randomness", "random ids"},
		why:    "what others load says what the export sends; the export knows nothing of it",
	},
	"fhir/internal/fixture": {
		module: []string{"handover", "handover/entry", "fhir", "internal/ward", "internal/wardtest"},
		why:    "tests",
	},
	"internal/intake": {
		module: []string{"handover", "handover/entry", "fhir/read"},
		others: []string{"github.com/goccy/go-yaml", "github.com/xuri/nfp", "github.com/google/uuid"},
		never:  []string{"files", "network", "storage", "logs", "clock", "randomness"},
		why:    "it reads what it is given and keeps nothing",
	},
	"internal/journal": {
		module: []string{"handover", "handover/entry"},
		never:  []string{"files", "network", "storage", "logs", "clock", "randomness"},
		why:    "the contract names no driver and no face; its clock is handed to it",
	},
	"internal/store/sqlite": {
		module: []string{"handover", "handover/entry", "internal/journal", "internal/access", "internal/delivery"},
		others: []string{"modernc.org/sqlite", "github.com/pressly/goose/v3"},
		never:  []string{"network", "logs", "randomness"},
		why:    "a driver keeps and knows no clinical rule, nor another driver",
	},
	"internal/store/postgres": {
		module: []string{"handover", "handover/entry", "internal/journal", "internal/access", "internal/delivery"},
		others: []string{"github.com/jackc/pgx/v5", "github.com/pressly/goose/v3"},
		never:  []string{"logs", "randomness"},
		why:    "a driver keeps and knows no clinical rule, nor another driver",
	},
	"internal/browser": {
		module: []string{},
		never:  []string{"network", "storage", "logs", "randomness"},
		why:    "it runs a program that is installed, on what it is given",
	},
	"internal/page": {
		module: []string{"handover", "handover/entry"},
		others: []string{"golang.org/x/text", "github.com/rivo/uniseg"},
		never:  []string{"files", "network", "storage", "logs", "clock", "randomness"},
		why:    "a face shows and computes nothing",
	},
	"internal/sheets": {
		module: []string{"handover", "handover/entry"},
		others: []string{"github.com/xuri/excelize/v2"},
		never:  []string{"files", "network", "storage", "logs", "clock", "randomness"},
		why:    "a face shows and computes nothing",
	},
	"internal/access": {
		module: []string{"handover", "handover/entry", "internal/journal"},
		others: []string{"golang.org/x/crypto", "golang.org/x/oauth2", "golang.org/x/time", "github.com/coreos/go-oidc/v3",
			"github.com/go-jose/go-jose/v4", "github.com/alexedwards/scs/v2"},
		why: "who may do what, whatever the face and the driver",
	},
	"internal/access/accesstest": {
		module: []string{"internal/access", "internal/journal"},
		others: []string{"github.com/go-jose/go-jose/v4"},
		why:    "tests of every package that stands on access use it",
	},
	"internal/delivery": {
		module: []string{"handover", "handover/entry", "internal/journal", "fhir"},
		others: []string{"golang.org/x/oauth2", "github.com/go-jose/go-jose/v4"},
		why:    "sending knows no page and no driver",
	},
	"internal/web": {
		module: []string{"handover", "handover/entry", "internal/journal", "internal/access", "internal/intake", "fhir/...",
			"internal/page", "internal/sheets", "internal/web/forms", "internal/web/words"},
		others: []string{"github.com/gorilla/mux", "github.com/google/uuid", "golang.org/x/time"},
		never:  []string{"storage"},
		why:    "pages know what is kept, never how",
	},
	"internal/web/words": {
		never: []string{"files", "network", "storage", "logs", "clock", "randomness"},
		why:   "texts, whatever page they stand on",
	},
	"internal/web/forms": {
		module: []string{"handover", "handover/entry", "internal/web/words"},
		never:  []string{"files", "network", "storage", "logs", "clock", "randomness"},
		why:    "what a page asks and what was posted, without a request",
	},
	"internal/api": {
		module: []string{"handover", "handover/entry", "internal/journal", "internal/access", "internal/intake", "fhir/...",
			"internal/page", "internal/sheets"},
		others: []string{"github.com/gorilla/mux"},
		never:  []string{"storage"},
		why:    "the endpoint knows what is kept, never how",
	},
	"internal/ward": {
		never: []string{"files", "network", "storage", "logs", "clock"},
		why:   "an invented ward is a function of its seed, and knows the record's form but none of its code",
	},
	"internal/cli": {
		module: []string{"*"},
		others: []string{"github.com/spf13/cobra", "github.com/spf13/pflag", "github.com/mattn/go-isatty", "github.com/google/uuid",
			"filippo.io/age"},
		never: []string{"storage"},
		why:   "the one place where everything is put together",
	},
	"cmd/cotline": {
		module: []string{"internal/cli"},
		why:    "main is a shell",
	},
	"internal/archtest": {module: []string{}, why: "tests"},
	"internal/store/storetest": {module: []string{"internal/journal", "internal/access"},
		others: []string{"github.com/google/go-cmp", "pgregory.net/rapid"}, why: "the suite that every driver passes"},
	"internal/onetruth": {module: []string{}, why: "tests"},
	"internal/wardtest": {
		module: []string{"handover", "handover/entry", "internal/ward"},
		others: []string{"github.com/goccy/go-yaml"},
		why:    "tests of every package use it, so it imports none that they are of but the engine and the invented ward",
	},
	"internal/cli/clitest": {module: []string{"internal/cli"}, why: "tests run the program by it"},
	"examples":             {module: []string{"*"}, why: "tests"},
}

// tests are packages that product code never imports.
var tests = []string{
	"internal/archtest", "internal/store/storetest", "internal/oracle", "internal/onetruth", "internal/wardtest", "internal/cli/clitest",
	"internal/access/accesstest",
	"fhir/internal/fixture",
	"examples",
}

// ban is something that a package must never do: standard packages it may not
// import, and functions it may not name, under whatever name it imports them.
var ban = map[string]struct {
	imports []string // by path, or the start of it with /...
	names   map[string][]string
	tags    bool // no struct tags
}{
	"files":         {imports: []string{"os/...", "io/ioutil", "path/filepath", "syscall", "golang.org/x/sys/..."}},
	"network":       {imports: []string{"net", "net/http/...", "net/rpc/...", "net/smtp", "net/textproto", "crypto/tls"}},
	"storage":       {imports: []string{"database/sql/...", "modernc.org/sqlite/...", "github.com/jackc/..."}},
	"logs":          {imports: []string{"log/..."}},
	"randomness":    {imports: []string{"math/rand/...", "crypto/rand"}},
	"encoding/json": {imports: []string{"encoding/json"}},
	"clock": {names: map[string][]string{"time": {"Now", "Since", "Until", "After", "AfterFunc", "Sleep", "Tick", "NewTimer",
		"NewTicker", "Local"}}},
	"random ids": {names: map[string][]string{"github.com/google/uuid": {"New", "NewString", "NewRandom", "NewRandomFromReader",
		"NewUUID", "NewV6", "NewV7", "NewV7FromReader"}}},
	"tags": {tags: true},
}
