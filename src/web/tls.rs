//! TLS by the service itself, for machines without a proxy in front.
//!
//! Certificate and key are files in PEM form, read again whenever they change, so that a renewed
//! certificate needs no restart.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Arc, PoisonError, RwLock};

use tokio_rustls::TlsAcceptor;
use tokio_rustls::rustls::crypto::ring;
use tokio_rustls::rustls::pki_types::pem::PemObject as _;
use tokio_rustls::rustls::pki_types::{CertificateDer, PrivateKeyDer};
use tokio_rustls::rustls::{Error, ServerConfig};

/// Why a certificate or its key can't be used.
#[derive(Debug, thiserror::Error)]
pub enum TlsError {
    /// A file can't be read.
    #[error("{} can't be read: {error}; give another file with {option}", path.display())]
    Unreadable {
        /// Which.
        path: PathBuf,
        /// What the system said.
        error: io::Error,
        /// The option that names it.
        option: &'static str,
    },
    /// There is no certificate in the file.
    #[error(
        "{} holds no certificate in PEM form: give the file that begins with the certificate, with \
         those between it and its authority after it", .0.display()
    )]
    NoCertificate(PathBuf),
    /// There is no key in the file.
    #[error("{} holds no private key in PEM form: give the key's file with --tls-key", .0.display())]
    NoKey(PathBuf),
    /// The two are not a pair.
    #[error(
        "the key {} does not belong to the certificate {}: give the two that were made together",
        key.display(), certificate.display()
    )]
    NoPair {
        /// The key's file.
        key: PathBuf,
        /// The certificate's.
        certificate: PathBuf,
    },
    /// The library refuses them for another reason.
    #[error("{} can't be used: {why}", certificate.display())]
    Refused {
        /// The certificate's file.
        certificate: PathBuf,
        /// The library's words.
        why: String,
    },
}

/// A certificate with its key. Clones share what was read last.
#[derive(Clone, Debug)]
pub struct Tls {
    certificate: Arc<Path>,
    key: Arc<Path>,
    read: Arc<RwLock<Read>>,
}

#[derive(Debug)]
struct Read {
    /// Both files, to see whether they changed.
    pem: (Vec<u8>, Vec<u8>),
    config: Arc<ServerConfig>,
}

impl Tls {
    /// Reads both files.
    ///
    /// # Errors
    /// One can't be read, holds nothing of use, or they are not a pair.
    pub fn read(certificate: &Path, key: &Path) -> Result<Self, TlsError> {
        let pem = pem(certificate, key)?;
        let config = config(certificate, key, &pem)?;
        let read = Arc::new(RwLock::new(Read { pem, config }));
        Ok(Self { certificate: certificate.into(), key: key.into(), read })
    }

    /// Reads them again if they changed and says whether they did. What can't be used changes
    /// nothing: the old pair goes on.
    ///
    /// # Errors
    /// As above.
    pub fn read_again(&self) -> Result<bool, TlsError> {
        let pem = pem(&self.certificate, &self.key)?;
        if self.read.read().unwrap_or_else(PoisonError::into_inner).pem == pem {
            return Ok(false);
        }
        let config = config(&self.certificate, &self.key, &pem)?;
        *self.read.write().unwrap_or_else(PoisonError::into_inner) = Read { pem, config };
        Ok(true)
    }

    /// What greets a new connection.
    pub(super) fn acceptor(&self) -> TlsAcceptor {
        let read = self.read.read().unwrap_or_else(PoisonError::into_inner);
        TlsAcceptor::from(Arc::clone(&read.config))
    }
}

fn pem(certificate: &Path, key: &Path) -> Result<(Vec<u8>, Vec<u8>), TlsError> {
    let read = |path: &Path, option| {
        std::fs::read(path).map_err(|error| TlsError::Unreadable {
            path: path.to_owned(),
            error,
            option,
        })
    };
    Ok((read(certificate, "--tls-cert")?, read(key, "--tls-key")?))
}

fn config(
    certificate: &Path,
    key: &Path,
    pem: &(Vec<u8>, Vec<u8>),
) -> Result<Arc<ServerConfig>, TlsError> {
    let none = || TlsError::NoCertificate(certificate.to_owned());
    let chain: Result<Vec<_>, _> = CertificateDer::pem_slice_iter(&pem.0).collect();
    let chain = chain.ok().filter(|chain| !chain.is_empty()).ok_or_else(none)?;
    let secret = PrivateKeyDer::from_pem_slice(&pem.1);
    let secret = secret.map_err(|_| TlsError::NoKey(key.to_owned()))?;
    let refused = |error: Error| match error {
        Error::InconsistentKeys(_) => {
            TlsError::NoPair { key: key.to_owned(), certificate: certificate.to_owned() }
        }
        other => TlsError::Refused { certificate: certificate.to_owned(), why: other.to_string() },
    };
    let mut config = ServerConfig::builder_with_provider(Arc::new(ring::default_provider()))
        .with_safe_default_protocol_versions()
        .map_err(refused)?
        .with_no_client_auth()
        .with_single_cert(chain, secret)
        .map_err(refused)?;
    config.alpn_protocols = vec![b"http/1.1".to_vec()];
    Ok(Arc::new(config))
}
