package access

// Kinds of items.
const (
	kindPerson  = "person"
	kindSession = "session"
	kindDevice  = "device"
	kindLink    = "link"
	kindCode    = "code"
	kindLook    = "look"
	kindProgram = "program"
	kindToken   = "token"
	kindJTI     = "jti"
	kindState   = "state"
	kindSubject = "subject"
)
