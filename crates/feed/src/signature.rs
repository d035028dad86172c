//! Signatures of requests by the Standard Webhooks specification 1.0.0 (standardwebhooks.com), symmetric scheme `v1`.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use ring::hmac;

/// How a secret begins.
const PREFIX: &str = "whsec_";

/// A key that signs.
pub(crate) struct Key(hmac::Key);

impl Key {
    /// The key of a secret, `whsec_` and base64; `None` if it is none.
    pub(crate) fn of(secret: &str) -> Option<Self> {
        let bytes = STANDARD.decode(secret.strip_prefix(PREFIX).unwrap_or(secret)).ok()?;
        (!bytes.is_empty()).then(|| Self(hmac::Key::new(hmac::HMAC_SHA256, &bytes)))
    }

    /// The header `webhook-signature` of `body`, sent as message `id` at `seconds` since 1970.
    pub(crate) fn sign(&self, id: &str, seconds: i64, body: &[u8]) -> String {
        let mut context = hmac::Context::with_key(&self.0);
        context.update(format!("{id}.{seconds}.").as_bytes());
        context.update(body);
        format!("v1,{}", STANDARD.encode(context.sign()))
    }
}

#[cfg(test)]
mod tests {
    use super::Key;

    /// The example that the reference libraries of the specification test with (github.com/standard-webhooks/standard-webhooks).
    #[test]
    fn the_published_example_is_signed_as_published() {
        let key = Key::of("whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw").unwrap();
        let signature = key.sign("msg_p5jXN8AQM9LWM0D4loKWxJek", 1_614_265_330, br#"{"test": 2432232314}"#);
        assert_eq!(signature, "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE=");
    }

    #[test]
    fn what_is_no_base64_is_no_secret() {
        assert!(Key::of("whsec_not base64!").is_none() && Key::of("").is_none());
    }
}
