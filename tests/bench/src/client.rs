//! A signed-in browser as far as the measurement needs one: connections kept alive, compression welcome, pages left compressed.
use crate::Failure;
use reqwest::header::{ACCEPT_ENCODING, COOKIE, HeaderMap, SET_COOKIE};
use reqwest::multipart;
use std::net::SocketAddr;

/// Asks a server as somebody; clones share its connections.
#[derive(Clone)]
pub struct Client {
    http: reqwest::Client,
    pub host: SocketAddr,
    cookie: String,
}

/// What came back.
#[derive(Debug)]
pub struct Reply {
    pub status: u16,
    pub headers: HeaderMap,
    /// As it crossed the wire: compressed where the server compressed it.
    pub body: Vec<u8>,
}

impl Client {
    /// Nobody yet.
    pub fn new(host: SocketAddr) -> Result<Client, Failure> {
        let http = reqwest::Client::builder()
            .redirect(reqwest::redirect::Policy::none())
            .tcp_nodelay(true)
            .no_proxy()
            .build()?;
        Ok(Client { http, host, cookie: String::new() })
    }

    /// Signs in.
    pub async fn sign_in(mut self, email: &str, password: &str) -> Result<Client, Failure> {
        let form = [("email", email), ("password", password)];
        let reply = reply(self.http.post(self.url("/sign-in")).form(&form).send().await?).await?;
        let cookies = reply.headers.get_all(SET_COOKIE).iter().filter_map(|value| value.to_str().ok());
        let session = cookies.filter_map(|value| value.split(';').next()).find(|c| c.starts_with("findway="));
        self.cookie = session.ok_or_else(|| format!("signing in answers {}", reply.status))?.to_owned();
        Ok(self)
    }

    /// Asks for a page as a browser does.
    pub async fn get(&self, path: &str) -> Result<Reply, Failure> {
        let request =
            self.http.get(self.url(path)).header(COOKIE, &self.cookie).header(ACCEPT_ENCODING, "gzip");
        reply(request.send().await?).await
    }

    /// Asks for a page uncompressed, to read in it.
    pub async fn read(&self, path: &str) -> Result<String, Failure> {
        let reply = reply(self.http.get(self.url(path)).header(COOKIE, &self.cookie).send().await?).await?;
        if reply.status != 200 {
            return Err(format!("{path} answers {}", reply.status).into());
        }
        Ok(String::from_utf8(reply.body)?)
    }

    /// Sends a form.
    pub async fn post(&self, path: &str, fields: &[(String, String)]) -> Result<Reply, Failure> {
        let request = self.http.post(self.url(path)).header(COOKIE, &self.cookie).form(fields);
        reply(request.send().await?).await
    }

    /// Sends a form with a file in it.
    pub async fn upload(&self, path: &str, form: multipart::Form) -> Result<Reply, Failure> {
        let request = self.http.post(self.url(path)).header(COOKIE, &self.cookie).multipart(form);
        reply(request.send().await?).await
    }

    fn url(&self, path: &str) -> String {
        format!("http://{}{path}", self.host)
    }
}

async fn reply(response: reqwest::Response) -> Result<Reply, Failure> {
    let (status, headers) = (response.status().as_u16(), response.headers().clone());
    Ok(Reply { status, headers, body: response.bytes().await?.to_vec() })
}
