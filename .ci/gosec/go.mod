module cotline/ci/gosec

go 1.26.0

require (
	github.com/securego/gosec/v2 v2.30.0
	golang.org/x/tools v0.52.0
)

require (
	github.com/ccojocar/zxcvbn-go v1.0.4 // indirect
	golang.org/x/mod v0.42.0 // indirect
	golang.org/x/sync v0.24.0 // indirect
)
