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
