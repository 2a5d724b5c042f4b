// An OpenID Connect provider on loopback, for one client. It prints its issuer when it
// listens, and ends with its standard input.
import { createServer } from 'node:http';
import { Provider } from 'oidc-provider';

const server = createServer();
server.listen(0, '127.0.0.1', () => {
  const issuer = `http://127.0.0.1:${server.address().port}`;
  const provider = new Provider(issuer, {
    clients: [{
      client_id: 'cotline', client_secret: 'a secret of the test alone, of forty letters',
      redirect_uris: [process.env.REDIRECT], response_types: ['code'], grant_types: ['authorization_code'],
    }],
    claims: { openid: ['sub'], profile: ['name', 'preferred_username', 'groups'] },
    conformIdTokenClaims: false, // the claims of the scopes stand in the ID token
    features: { devInteractions: { enabled: true } },
    pkce: { required: () => true },
    cookies: { keys: ['a key of the test alone'] },
    findAccount: (_, id) => ({
      accountId: id,
      claims: () => ({ sub: id, name: 'Maeve B.', preferred_username: 'maeve', groups: ['nicu-nurses'] }),
    }),
  });
  server.on('request', provider.callback());
  console.log(issuer);
});
process.stdin.on('end', () => process.exit()).resume();
