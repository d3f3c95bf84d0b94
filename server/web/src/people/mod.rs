//! Signing in and out, accounts.
pub mod limits;
mod sign_in;

use crate::links;
use crate::routes::Routes;
use domain::permission::Action;

pub(crate) fn routes(routes: Routes) -> Routes {
    routes
        .get(links::SIGN_IN, Action::Public, sign_in::new)
        .post(links::SIGN_IN, Action::Public, sign_in::create)
        .post(links::SIGN_OUT, Action::OwnAccount, sign_in::delete)
}

/// Where a letter leads a person: to a page, or for somebody who never signed in to the invitation that leads there.
pub(crate) async fn entry_link(
    ctx: &crate::context::Ctx,
    _tx: &mut store::Tx,
    _person: &store::people::Person,
    page: &str,
) -> crate::error::Answer<String> {
    Ok(format!("{}{page}", ctx.app.config.base_url))
}
