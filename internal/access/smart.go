package access

// SmartConfiguration is the document at .well-known/smart-configuration, for backend services
// alone: the fields that SMART App Launch 2 asks of a server that supports
// client-confidential-asymmetric.
type SmartConfiguration struct {
	TokenEndpoint string   `json:"token_endpoint"`
	GrantTypes    []string `json:"grant_types_supported"`
	AuthMethods   []string `json:"token_endpoint_auth_methods_supported"`
	Algorithms    []string `json:"token_endpoint_auth_signing_alg_values_supported"`
	Scopes        []string `json:"scopes_supported"`
	Challenges    []string `json:"code_challenge_methods_supported"` // demanded, though there is no code to challenge
	Capabilities  []string `json:"capabilities"`
}

// Smart is the document for this server. Types are the types of resources that its FHIR
// endpoint serves.
func (a *Access) Smart(types []string) SmartConfiguration {
	scopes := []string{"system/*.rs"}
	for _, t := range types {
		scopes = append(scopes, Scope{t, "rs"}.String())
	}
	return SmartConfiguration{
		TokenEndpoint: a.TokenURL,
		GrantTypes:    []string{"client_credentials"},
		AuthMethods:   []string{"private_key_jwt"},
		Algorithms:    []string{"RS384", "ES384"},
		Scopes:        scopes,
		Challenges:    []string{"S256"},
		Capabilities:  []string{"client-confidential-asymmetric", "permission-v2"},
	}
}
