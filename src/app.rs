//! One table of all addresses, the shared state and the wiring.
//!
//! To add an address, add its line to [`table`]; its access is enforced before its handler runs,
//! and an API handler's description joins the OpenAPI document by itself.

pub mod chores;
pub mod document;
mod health;
pub mod hosts;
pub mod route;
pub mod state;
pub mod watching;

use axum::Router;
use axum::body::HttpBody;
use axum::http::{Method, StatusCode};
use axum::middleware::{from_fn, from_fn_with_state};
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;
use tower_http::compression::predicate::{DefaultPredicate, Predicate};
use tower_http::timeout::TimeoutLayer;

use route::{Route, api, at, told};
pub use state::AppState;

use crate::people::access::Access::{Api, Open, Page};
use crate::people::access::Scope;
use crate::people::rights::Deed;
use crate::{
    audit, buying, choosing, guide, lending, observing, people, post, profile, public_night, shelf,
    web,
};

/// Every address of the service.
#[must_use]
#[rustfmt::skip]
pub fn table() -> Vec<Route> {
    const GET: Method = Method::GET;
    const POST: Method = Method::POST;
    const PUT: Method = Method::PUT;
    vec![
        // Signs of life and files
        at(GET, "/healthz",         Open, health::alive),
        at(GET, "/readyz",          Open, health::ready),
        at(GET, "/static/{*name}",  Open, web::files::get),

        // The doors
        at(GET,  "/sign-in",         Open, people::pages::sign_in_form),
        at(POST, "/sign-in",         Open, people::pages::sign_in),
        at(GET,  "/sign-in/code",    Open, people::second::code_pages::form),
        at(POST, "/sign-in/code",    Open, people::second::code_pages::check),
        at(GET,  "/sign-in/help",    Open, people::links::pages::form),
        at(POST, "/sign-in/help",    Open, people::links::pages::ask),
        at(GET,  "/sign-in/link/{token}", Open, people::links::open_pages::form),
        at(POST, "/sign-in/link/{token}", Open, people::links::open_pages::open),
        at(POST, "/sign-out",        Page(Deed::SecureAccount), people::pages::sign_out),
        at(GET,  "/setup/{token}",   Open, people::setup_pages::form),
        at(POST, "/setup/{token}",   Open, people::setup_pages::choose),
        at(GET,  "/join",            Open, people::joining_pages::form),
        at(POST, "/join",            Open, people::joining_pages::ask),
        at(POST, "/scheme",          Open, web::scheme::choose),
        at(GET,  "/problems/{kind}", Open, web::kind_page::get),
        // Their names are what opens them.
        at(GET,  "/visit/{slug}",              Open, public_night::open_pages::page),
        at(GET,  "/visit/{slug}/calendar.ics", Open, public_night::open_pages::calendar),
        at(GET,  "/calendar/{file}", Open, lending::feed_pages::get),

        // The main question
        at(GET,  "/",                Page(Deed::Ask), choosing::pages::ask),
        at(GET,  "/kits",            Page(Deed::Ask), choosing::pages::kits),
        at(POST, "/kits",            Page(Deed::Ask), choosing::pages::asked),
        at(GET,  "/telescopes",      Page(Deed::Look), choosing::telescope_pages::list),
        at(GET,  "/telescopes/{id}", Page(Deed::Look), choosing::telescope_pages::one),
        at(GET,  "/telescopes/{id}/nights", Page(Deed::Ask), choosing::nights_pages::look),
        at(GET,  "/help",            Page(Deed::Look), guide::pages::contents),
        at(GET,  "/help/borrowing",  Page(Deed::Look), guide::pages::borrowing),
        at(GET,  "/help/desk",       Page(Deed::Look), guide::pages::desk),
        at(GET,  "/help/public-nights", Page(Deed::Look), guide::pages::public_nights),
        at(GET,  "/help/keeping",    Page(Deed::Look), guide::pages::keeping),
        at(GET,  "/help/trouble",    Page(Deed::Look), guide::pages::trouble),
        at(GET,  "/help/reading",    Page(Deed::Look), choosing::pages::reading),
        at(GET,  "/help/cautions",   Page(Deed::Look), choosing::pages::cautions),

        // The shelf
        at(GET,  "/shelf",            Page(Deed::Look), shelf::pages::list),
        at(GET,  "/stock/new/{kind}", Page(Deed::KeepShelf), shelf::edit_pages::new),
        at(POST, "/stock/new/{kind}", Page(Deed::KeepShelf), shelf::edit_pages::add),
        at(POST, "/stock/new/{kind}/doubts", Page(Deed::KeepShelf), shelf::doubts_page::doubts),
        at(GET,  "/shelf/{tag}",      Page(Deed::Look), shelf::piece_pages::one),
        at(GET,  "/shelf/{tag}/life", Page(Deed::Look), shelf::piece_pages::whole_life),
        at(GET,  "/shelf/{tag}/edit", Page(Deed::KeepShelf), shelf::edit_pages::form),
        at(POST, "/shelf/{tag}/edit", Page(Deed::KeepShelf), shelf::edit_pages::change),
        at(GET,  "/shelf/{tag}/papers",      Page(Deed::KeepShelf), shelf::papers_pages::form),
        at(POST, "/shelf/{tag}/papers",      Page(Deed::KeepShelf), shelf::papers_pages::save),
        at(POST, "/shelf/{tag}/condition",   Page(Deed::KeepShelf), shelf::care_pages::condition).up_to(shelf::photo_form::LIMIT),
        at(POST, "/shelf/{tag}/upkeep",      Page(Deed::KeepShelf), shelf::care_pages::add_upkeep),
        at(POST, "/shelf/{tag}/upkeep/{id}", Page(Deed::KeepShelf), shelf::care_pages::upkeep),

        at(POST, "/shelf/{tag}/photos",      Page(Deed::KeepShelf), shelf::photo_pages::add).up_to(shelf::photo_form::LIMIT),
        at(POST, "/shelf/{tag}/photos/{id}/remove", Page(Deed::KeepShelf), shelf::photo_pages::remove),
        at(GET,  "/photos/{id}/{size}",      Page(Deed::Look), shelf::photo_pages::get),

        at(GET,  "/stock",               Page(Deed::KeepShelf), shelf::stock_pages::stock),
        at(GET,  "/stock/count",         Page(Deed::KeepShelf), shelf::count_pages::look),
        at(POST, "/stock/count",         Page(Deed::KeepShelf), shelf::count_pages::start),
        at(POST, "/stock/count/seen",    Page(Deed::KeepShelf), shelf::count_pages::seen),
        at(POST, "/stock/count/end",     Page(Deed::KeepShelf), shelf::count_pages::end),
        at(GET,  "/stock/count/{id}",    Page(Deed::KeepShelf), shelf::count_pages::record),
        at(GET,  "/stock/labels",        Page(Deed::KeepShelf), shelf::labels_pages::form),
        at(GET,  "/stock/labels.pdf",    Page(Deed::KeepShelf), shelf::labels_pages::pdf),
        at(GET,  "/stock/use",           Page(Deed::KeepShelf), shelf::stock_pages::use_page),
        at(GET,  "/stock/use.csv",       Page(Deed::KeepShelf), shelf::stock_pages::use_file),
        at(GET,  "/stock/use.pdf",       Page(Deed::KeepShelf), shelf::stock_paper_pages::uses),
        at(GET,  "/stock/values.pdf",    Page(Deed::KeepShelf), shelf::stock_paper_pages::values),
        at(GET,  "/stock/values",        Page(Deed::KeepShelf), shelf::stock_pages::values_page),
        at(GET,  "/stock/values.csv",    Page(Deed::KeepShelf), shelf::stock_pages::values_file),
        at(GET,  "/stock/tables/{file}", Page(Deed::KeepShelf), shelf::stock_pages::table),
        at(GET,  "/stock/import",        Page(Deed::KeepShelf), shelf::import_pages::form),
        at(POST, "/stock/import",        Page(Deed::KeepShelf), shelf::import_pages::take).up_to(shelf::import_pages::LIMIT),

        // What to buy next
        at(GET,  "/buying/mine",             Page(Deed::Ask), buying::mine_pages::look),
        at(GET,  "/buying",                  Page(Deed::PlanPurchases), buying::pages::look),
        at(POST, "/buying/sales",            Page(Deed::PlanPurchases), buying::pages::sell),
        at(GET,  "/buying/candidates",       Page(Deed::PlanPurchases), buying::candidate_pages::list),
        at(POST, "/buying/candidates",       Page(Deed::PlanPurchases), buying::candidate_pages::add),
        at(GET,  "/buying/candidates.csv",   Page(Deed::PlanPurchases), buying::candidate_pages::file),
        at(POST, "/buying/candidates/table", Page(Deed::PlanPurchases), buying::candidate_pages::table).up_to(buying::candidate_pages::LIMIT),
        at(POST, "/buying/candidates/{id}/remove", Page(Deed::PlanPurchases), buying::candidate_pages::remove),
        at(POST, "/buying/reports",          Page(Deed::PlanPurchases), buying::pages::ask),
        at(GET,  "/buying/reports/{id}",     Page(Deed::PlanPurchases), buying::pages::report),
        at(POST, "/buying/reports/{id}/cancel",    Page(Deed::PlanPurchases), buying::pages::cancel),
        at(GET,  "/buying/reports/{id}/paper.pdf", Page(Deed::PlanPurchases), buying::pages::pdf),
        at(GET,  "/buying/reports/{id}/table.csv", Page(Deed::PlanPurchases), buying::pages::table),

        // Reservations and loans
        at(GET,  "/reserve",             Page(Deed::Borrow), lending::reserve_pages::form),
        at(POST, "/reserve",             Page(Deed::Borrow), lending::reserve_pages::reserve),
        at(GET,  "/reserve/calendar",    Page(Deed::Borrow), lending::calendar_pages::look),
        at(GET,  "/mine",                Page(Deed::Borrow), lending::mine_list_pages::list),
        at(GET,  "/mine/calendar",       Page(Deed::Borrow), lending::feed_pages::look),
        at(POST, "/mine/calendar",       Page(Deed::Borrow), lending::feed_pages::make),
        at(POST, "/mine/calendar/revoke", Page(Deed::Borrow), lending::feed_pages::revoke),
        at(POST, "/mine/waiting",        Page(Deed::Borrow), lending::waiting_pages::join),
        at(POST, "/mine/waiting/{id}/accept", Page(Deed::Borrow), lending::waiting_pages::accept),
        at(POST, "/mine/waiting/{id}/leave",  Page(Deed::Borrow), lending::waiting_pages::leave),
        at(GET,  "/mine/{id}",           Page(Deed::Borrow), lending::mine_pages::one),
        at(GET,  "/mine/{id}/plan",      Page(Deed::Borrow), observing::plan::pages::of_reservation),
        at(GET,  "/plan",                Page(Deed::Ask), observing::plan::pages::of_kit),
        at(GET,  "/mine/{id}/card",      Page(Deed::Borrow), choosing::card_pages::card),
        at(GET,  "/mine/{id}/card.pdf",  Page(Deed::Borrow), choosing::card_pages::pdf),
        at(GET,  "/mine/{id}/sign",      Page(Deed::Borrow), lending::sign_pages::form),
        at(POST, "/mine/{id}/sign",      Page(Deed::Borrow), lending::sign_pages::sign),
        at(POST, "/mine/{id}/missing",   Page(Deed::Borrow), lending::reports::missing),
        at(POST, "/mine/{id}/swap",      Page(Deed::Borrow), lending::swap_pages::mine),
        at(POST, "/mine/{id}/cancel",    Page(Deed::Borrow), lending::mine_pages::cancel),
        at(POST, "/mine/{id}/change",    Page(Deed::Borrow), lending::mine_pages::change),
        at(POST, "/mine/{id}/extend",    Page(Deed::Borrow), lending::mine_pages::extend),
        at(GET,  "/desk",                Page(Deed::RunDesk), lending::desk_pages::desk),
        at(GET,  "/desk/waiting",        Page(Deed::RunDesk), lending::waiting_desk::list),
        at(POST, "/desk/waiting/{id}/end", Page(Deed::RunDesk), lending::waiting_desk::end),
        at(GET,  "/desk/rules",          Page(Deed::RunDesk), lending::rules_pages::look),
        at(POST, "/desk/rules",          Page(Deed::RunDesk), lending::rules_pages::save),
        at(POST, "/desk/rules/off",      Page(Deed::RunDesk), lending::rules_pages::close),
        at(POST, "/desk/rules/on",       Page(Deed::RunDesk), lending::rules_pages::open),
        at(POST, "/desk/rules/keep",     Page(Deed::RunDesk), lending::rules_pages::keep),
        at(POST, "/desk/rules/keep/{id}/back", Page(Deed::RunDesk), lending::rules_pages::back),
        at(GET,  "/desk/rules/piece",    Page(Deed::RunDesk), lending::piece_rule_pages::find),
        at(GET,  "/desk/rules/pieces/{id}", Page(Deed::RunDesk), lending::piece_rule_pages::look),
        at(POST, "/desk/rules/pieces/{id}", Page(Deed::RunDesk), lending::piece_rule_pages::save),
        at(POST, "/desk/rules/pieces/{id}/shown",  Page(Deed::RunDesk), lending::piece_rule_pages::show),
        at(POST, "/desk/rules/pieces/{id}/forget", Page(Deed::RunDesk), lending::piece_rule_pages::forget),
        at(GET,  "/desk/{id}",           Page(Deed::RunDesk), lending::desk_pages::one),
        at(GET,  "/desk/{id}/sheet",     Page(Deed::RunDesk), lending::desk_sheet::sheet),
        at(POST, "/desk/{id}/ask-to-sign", Page(Deed::RunDesk), lending::sign_pages::ask),
        at(POST, "/desk/{id}/found",     Page(Deed::RunDesk), lending::reports::found),
        at(POST, "/desk/{id}/hand-over", Page(Deed::RunDesk), lending::desk_pages::hand_over),
        at(POST, "/desk/{id}/return",    Page(Deed::RunDesk), lending::desk_pages::bring_back).up_to(shelf::photo_form::LIMIT),
        at(POST, "/desk/{id}/swap",      Page(Deed::RunDesk), lending::swap_pages::at_desk),
        at(POST, "/desk/{id}/step",      Page(Deed::RunDesk), lending::desk_pages::step),

        // Public nights
        at(GET,  "/public-nights",               Page(Deed::Look), public_night::night_pages::list),
        at(POST, "/public-nights",               Page(Deed::KeepPublicNights), public_night::edit_pages::add),
        at(GET,  "/public-nights/new",           Page(Deed::KeepPublicNights), public_night::edit_pages::new),
        at(GET,  "/public-nights/priority",      Page(Deed::KeepPublicNights), public_night::priority_pages::look),
        at(POST, "/public-nights/priority",      Page(Deed::RunDesk), public_night::priority_pages::save),
        at(GET,  "/public-nights/{id}",          Page(Deed::Look), public_night::night_pages::one),
        at(GET,  "/public-nights/{id}/edit",     Page(Deed::KeepPublicNights), public_night::edit_pages::form),
        at(POST, "/public-nights/{id}/edit",     Page(Deed::KeepPublicNights), public_night::edit_pages::change),
        at(POST, "/public-nights/{id}/step",     Page(Deed::KeepPublicNights), public_night::step_pages::step),
        at(POST, "/public-nights/{id}/plan",     Page(Deed::KeepPublicNights), public_night::plan_pages::plan),
        at(POST, "/public-nights/{id}/reserve",  Page(Deed::KeepPublicNights), public_night::step_pages::reserve),
        at(POST, "/public-nights/{id}/public",   Page(Deed::KeepPublicNights), public_night::helper_pages::public),
        at(GET,  "/public-nights/{id}/run-sheet",  Page(Deed::KeepPublicNights), public_night::print_pages::run_sheet),
        at(GET,  "/public-nights/{id}/cards",      Page(Deed::KeepPublicNights), public_night::print_pages::cards),
        at(GET,  "/public-nights/{id}/packing",    Page(Deed::KeepPublicNights), public_night::print_pages::packing),
        at(GET,  "/public-nights/{id}/inspection", Page(Deed::KeepPublicNights), public_night::print_pages::inspection),
        at(GET,  "/public-nights/{id}/afterwards", Page(Deed::KeepPublicNights), public_night::after_pages::form),
        at(POST, "/public-nights/{id}/afterwards", Page(Deed::KeepPublicNights), public_night::after_pages::save),
        at(POST, "/public-nights/{id}/helpers",  Page(Deed::KeepPublicNights), public_night::helper_pages::add),
        at(GET,  "/public-nights/{id}/helpers/{number}",  Page(Deed::KeepPublicNights), public_night::helper_pages::form),
        at(POST, "/public-nights/{id}/helpers/{number}",  Page(Deed::KeepPublicNights), public_night::helper_pages::save),
        at(GET,  "/public-nights/{id}/stations/{number}", Page(Deed::KeepPublicNights), public_night::station_pages::form),
        at(POST, "/public-nights/{id}/stations/{number}", Page(Deed::KeepPublicNights), public_night::station_pages::save),

        // Where the club observes
        at(GET,  "/sites",             Page(Deed::KeepSites), observing::site_pages::list),
        at(GET,  "/sites/new",         Page(Deed::KeepSites), observing::site_pages::new),
        at(POST, "/sites",             Page(Deed::KeepSites), observing::site_pages::add),
        at(GET,  "/sites/{id}",        Page(Deed::KeepSites), observing::site_pages::one),
        at(POST, "/sites/{id}",        Page(Deed::KeepSites), observing::site_pages::change),
        at(POST, "/sites/{id}/remove", Page(Deed::KeepSites), observing::site_pages::remove),

        // About oneself
        at(GET,  "/account/observer",           Page(Deed::Look), profile::observer_pages::form),
        at(POST, "/account/observer",           Page(Deed::Look), profile::observer_pages::save),
        at(POST, "/account/observer/erase",     Page(Deed::Look), profile::observer_pages::erase),
        at(GET,  "/account/gear",               Page(Deed::Look), profile::gear_pages::list),
        at(GET,  "/account/gear/{kind}/new",    Page(Deed::Look), profile::gear_pages::new),
        at(POST, "/account/gear/{kind}",        Page(Deed::Look), profile::gear_pages::add),
        at(GET,  "/account/gear/{kind}/{id}",   Page(Deed::Look), profile::gear_pages::one),
        at(POST, "/account/gear/{kind}/{id}",   Page(Deed::Look), profile::gear_pages::change),
        at(POST, "/account/gear/{kind}/{id}/remove", Page(Deed::Look), profile::gear_pages::remove),
        at(GET,  "/account",                    Page(Deed::Look), people::account_pages::look),
        at(POST, "/account/name",               Page(Deed::Look), people::account_pages::set_name),
        at(POST, "/account/email",              Page(Deed::Look), people::account_pages::set_email),
        at(POST, "/account/password",           Page(Deed::Look), people::account_pages::set_password),
        at(POST, "/account/sessions/{handle}/end",  Page(Deed::Look), people::account_pages::end_session),
        at(POST, "/account/sessions/end-others",    Page(Deed::Look), people::account_pages::end_others),
        at(GET,  "/account/letters",            Page(Deed::Look), post::pages::letters),
        at(POST, "/account/letters",            Page(Deed::Look), post::pages::want),
        at(GET,  "/account/second-factor",          Page(Deed::SecureAccount), people::second::enrol_pages::look),
        at(POST, "/account/second-factor",          Page(Deed::SecureAccount), people::second::enrol_pages::start),
        at(POST, "/account/second-factor/confirm",  Page(Deed::SecureAccount), people::second::enrol_pages::switch_on),
        at(POST, "/account/second-factor/change",   Page(Deed::SecureAccount), people::second::enrol_pages::change),
        at(GET,  "/account/tokens",             Page(Deed::Look), profile::token_pages::list),
        at(POST, "/account/tokens",             Page(Deed::Look), profile::token_pages::make),
        at(POST, "/account/tokens/{id}/revoke", Page(Deed::Look), profile::token_pages::revoke),

        at(GET,  "/account/data",               Page(Deed::Look), profile::data_pages::page),
        at(GET,  "/account/data/erase",         Page(Deed::Look), profile::data_pages::erase_form),
        at(POST, "/account/data/erase",         Page(Deed::Look), profile::data_pages::erase),
        at(GET,  "/account/data/{file}",        Page(Deed::Look), profile::data_pages::file),

        // A member's eyes, for whoever chooses with them
        at(GET,  "/people/{id}/observer",          Page(Deed::SeeNeeds), profile::care_pages::page),
        at(POST, "/people/{id}/observer",          Page(Deed::SeeNeeds), profile::care_pages::open),
        at(POST, "/people/{id}/observer/guardian", Page(Deed::SeeNeeds), profile::care_pages::put_guardian),
        at(POST, "/people/{id}/observer/of-age",   Page(Deed::SeeNeeds), profile::care_pages::put_of_age),

        // The post room
        at(GET,  "/post",       Page(Deed::KeepPost), post::pages::look),
        at(POST, "/post/trial", Page(Deed::KeepPost), post::pages::trial),
        at(POST, "/post/{id}",  Page(Deed::KeepPost), post::pages::decide),

        // Looking after people
        at(GET,  "/people",                      Page(Deed::Invite), people::people_pages::list),
        at(GET,  "/people/{id}",                 Page(Deed::Invite), people::people_pages::one),
        at(GET,  "/people/members/{id}",         Page(Deed::Invite), people::people_pages::one_member),
        at(POST, "/people/members/{id}/invite",  Page(Deed::Invite), people::invite_pages::invite_member),
        at(GET,  "/people/invite",               Page(Deed::Invite), people::invite_pages::invite_form),
        at(POST, "/people/invite",               Page(Deed::Invite), people::invite_pages::invite_somebody),
        at(GET,  "/people/invite/letters",       Page(Deed::Invite), people::invite_letters::look),
        at(POST, "/people/invite/letters",       Page(Deed::Invite), people::invite_letters::send),
        at(POST, "/people/{id}/link",            Page(Deed::Invite), people::link_pages::link),
        at(POST, "/people/{id}/roles",           Page(Deed::ManageAccounts), people::people_pages::set_roles),
        at(POST, "/people/{id}/disable",         Page(Deed::ManageAccounts), people::people_pages::disable),
        at(POST, "/people/{id}/enable",          Page(Deed::ManageAccounts), people::people_pages::enable),
        at(POST, "/people/{id}/sessions/end",    Page(Deed::ManageAccounts), people::people_pages::end_sessions),
        at(GET,  "/people/import",               Page(Deed::ManageAccounts), people::list_pages::form),
        at(POST, "/people/import",               Page(Deed::ManageAccounts), people::list_pages::take).up_to(people::list_pages::LIMIT),
        at(GET,  "/people/joining",              Page(Deed::ManageAccounts), people::joining_pages::list),
        at(POST, "/people/joining",              Page(Deed::ManageAccounts), people::joining_pages::set),
        at(POST, "/people/joining/{id}/approve", Page(Deed::ManageAccounts), people::joining_pages::approve),
        at(POST, "/people/joining/{id}/decline", Page(Deed::ManageAccounts), people::joining_pages::decline),
        at(GET,  "/status",                      Page(Deed::ReadAudit), watching::status),
        at(GET,  "/audit",                       Page(Deed::ReadAudit), audit::pages::log),

        // The API
        api(GET, "/api/v1/openapi.json", Api(Deed::Look, Scope::Read), told!(document::openapi)),
        api(POST, "/api/v1/views/evaluate", Api(Deed::Ask, Scope::Read), told!(choosing::api::evaluate)).up_to(choosing::api::EVALUATE_LIMIT),
        api(POST, "/api/v1/kits/solve",   Api(Deed::Ask, Scope::Read), told!(choosing::api::solve)).up_to(choosing::api::SOLVE_LIMIT),
        api(GET,  "/api/v1/me",           Api(Deed::Look, Scope::Read), told!(profile::api::me)),
        api(PUT,  "/api/v1/me",           Api(Deed::Look, Scope::Write), told!(profile::api::put_me)),
        api(GET,  "/api/v1/me/export",    Api(Deed::Look, Scope::Read), told!(profile::data_pages::export)),
        api(POST, "/api/v1/kits/search",  Api(Deed::Ask, Scope::Read), told!(choosing::search_api::search)),
        api(GET,  "/api/v1/purchases",      Api(Deed::PlanPurchases, Scope::Read), told!(buying::api::list)),
        api(POST, "/api/v1/purchases",      Api(Deed::PlanPurchases, Scope::Write), told!(buying::api::ask)),
        api(POST, "/api/v1/purchases/solve", Api(Deed::Ask, Scope::Read), told!(buying::solve_api::solve)).up_to(buying::solve_api::LIMIT),
        api(GET,  "/api/v1/purchases/{id}", Api(Deed::PlanPurchases, Scope::Read), told!(buying::api::one)),
        api(POST, "/api/v1/purchases/{id}/cancel", Api(Deed::PlanPurchases, Scope::Write), told!(buying::api::cancel)),
        api(GET,  "/api/v1/candidates",     Api(Deed::PlanPurchases, Scope::Read), told!(buying::api::candidates_list)),
        api(POST, "/api/v1/candidates",     Api(Deed::PlanPurchases, Scope::Write), told!(buying::api::put)),
        api(GET,  "/api/v1/sites",        Api(Deed::Look, Scope::Read), told!(observing::sites_api::sites)),
        api(POST, "/api/v1/sky/positions", Api(Deed::Ask, Scope::Read), told!(observing::positions_api::positions)),
        api(POST, "/api/v1/sky/night",    Api(Deed::Ask, Scope::Read), told!(observing::night_api::night)),
        api(POST, "/api/v1/reservations",      Api(Deed::Borrow, Scope::Write), told!(lending::api::reserve)),
        api(GET,  "/api/v1/reservations",      Api(Deed::Borrow, Scope::Read), told!(lending::api::list)),
        api(GET,  "/api/v1/reservations/{id}", Api(Deed::Borrow, Scope::Read), told!(lending::api::one)),
        api(PUT,  "/api/v1/reservations/{id}", Api(Deed::Borrow, Scope::Write), told!(lending::api::change)),
        api(POST, "/api/v1/reservations/{id}/cancel",    Api(Deed::Borrow, Scope::Write), told!(lending::api::cancel)),
        api(POST, "/api/v1/reservations/{id}/approve",   Api(Deed::RunDesk, Scope::Write), told!(lending::api::approve)),
        api(POST, "/api/v1/reservations/{id}/decline",   Api(Deed::RunDesk, Scope::Write), told!(lending::api::decline)),
        api(POST, "/api/v1/reservations/{id}/hand-over", Api(Deed::RunDesk, Scope::Write), told!(lending::loan_api::hand_over)),
        api(GET,  "/api/v1/waiting",           Api(Deed::Borrow, Scope::Read), told!(lending::waiting_api::list)),
        api(POST, "/api/v1/waiting",           Api(Deed::Borrow, Scope::Write), told!(lending::waiting_api::join)),
        api(POST, "/api/v1/waiting/{id}/accept", Api(Deed::Borrow, Scope::Write), told!(lending::waiting_api::accept)),
        api(POST, "/api/v1/waiting/{id}/leave",  Api(Deed::Borrow, Scope::Write), told!(lending::waiting_api::leave)),
        api(GET,  "/api/v1/loans",             Api(Deed::Borrow, Scope::Read), told!(lending::loan_api::list)),
        api(GET,  "/api/v1/loans/{id}",        Api(Deed::Borrow, Scope::Read), told!(lending::loan_api::one)),
        api(POST, "/api/v1/loans/{id}/return", Api(Deed::RunDesk, Scope::Write), told!(lending::loan_api::bring_back)),
        api(POST, "/api/v1/loans/{id}/extend", Api(Deed::Borrow, Scope::Write), told!(lending::loan_api::extend)),
        api(GET,  "/api/v1/telescopes", Api(Deed::Look, Scope::Read), told!(shelf::api::telescopes)),
        api(POST, "/api/v1/telescopes", Api(Deed::KeepShelf, Scope::Write), told!(shelf::api::add_telescope)),
        api(GET,  "/api/v1/telescopes/{id}", Api(Deed::Look, Scope::Read), told!(shelf::api::telescope)),
        api(PUT,  "/api/v1/telescopes/{id}", Api(Deed::KeepShelf, Scope::Write), told!(shelf::api::replace_telescope)),
        api(GET,  "/api/v1/eyepieces", Api(Deed::Look, Scope::Read), told!(shelf::api::eyepieces)),
        api(POST, "/api/v1/eyepieces", Api(Deed::KeepShelf, Scope::Write), told!(shelf::api::add_eyepiece)),
        api(GET,  "/api/v1/eyepieces/{id}", Api(Deed::Look, Scope::Read), told!(shelf::api::eyepiece)),
        api(PUT,  "/api/v1/eyepieces/{id}", Api(Deed::KeepShelf, Scope::Write), told!(shelf::api::replace_eyepiece)),
        api(POST, "/api/v1/stations/solve", Api(Deed::Ask, Scope::Read), told!(public_night::solve_api::solve)).up_to(public_night::solve_api::SOLVE_LIMIT),
        api(GET,  "/api/v1/public-nights", Api(Deed::Look, Scope::Read), told!(public_night::api::list)),
        api(POST, "/api/v1/public-nights", Api(Deed::KeepPublicNights, Scope::Write), told!(public_night::api::add)),
        api(GET,  "/api/v1/public-nights/{id}", Api(Deed::Look, Scope::Read), told!(public_night::api::one)),
        api(PUT,  "/api/v1/public-nights/{id}", Api(Deed::KeepPublicNights, Scope::Write), told!(public_night::api::change)),
        api(PUT,  "/api/v1/public-nights/{id}/plan", Api(Deed::KeepPublicNights, Scope::Write), told!(public_night::api::put_plan)),
        api(POST, "/api/v1/public-nights/{id}/plan", Api(Deed::KeepPublicNights, Scope::Write), told!(public_night::plan_api::plan)),
        api(POST, "/api/v1/public-nights/{id}/state", Api(Deed::KeepPublicNights, Scope::Write), told!(public_night::api::state)),
        api(POST, "/api/v1/public-nights/{id}/reserve", Api(Deed::KeepPublicNights, Scope::Write), told!(public_night::api::reserve)),
        api(GET,  "/api/v1/barlows", Api(Deed::Look, Scope::Read), told!(shelf::api::barlows)),
        api(POST, "/api/v1/barlows", Api(Deed::KeepShelf, Scope::Write), told!(shelf::api::add_barlow)),
        api(GET,  "/api/v1/barlows/{id}", Api(Deed::Look, Scope::Read), told!(shelf::api::barlow)),
        api(PUT,  "/api/v1/barlows/{id}", Api(Deed::KeepShelf, Scope::Write), told!(shelf::api::replace_barlow)),
        api(GET,  "/api/v1/filters", Api(Deed::Look, Scope::Read), told!(shelf::api::filters)),
        api(POST, "/api/v1/filters", Api(Deed::KeepShelf, Scope::Write), told!(shelf::api::add_filter)),
        api(GET,  "/api/v1/filters/{id}", Api(Deed::Look, Scope::Read), told!(shelf::api::filter)),
        api(PUT,  "/api/v1/filters/{id}", Api(Deed::KeepShelf, Scope::Write), told!(shelf::api::replace_filter)),
        api(GET,  "/api/v1/accessories", Api(Deed::Look, Scope::Read), told!(shelf::api::accessories)),
        api(POST, "/api/v1/accessories", Api(Deed::KeepShelf, Scope::Write), told!(shelf::api::add_accessory)),
        api(GET,  "/api/v1/accessories/{id}", Api(Deed::Look, Scope::Read), told!(shelf::api::accessory)),
        api(PUT,  "/api/v1/accessories/{id}", Api(Deed::KeepShelf, Scope::Write), told!(shelf::api::replace_accessory)),
    ]
}

/// Answers for which gzip is enough: Brotli saves a few of their bytes and takes longer than making
/// the page took. Of long answers it saves a third.
#[derive(Clone, Copy, Debug)]
struct Small;

impl Predicate for Small {
    fn should_compress<B: HttpBody>(&self, answer: &axum::http::Response<B>) -> bool {
        answer.body().size_hint().upper().is_some_and(|bytes| bytes < 32 * 1024)
    }
}

/// The whole service, ready to be served.
pub fn app(state: AppState) -> Router {
    let mut router = Router::new();
    for route in table() {
        router = route.join(router, &state);
    }
    // The last layer is the outermost.
    router
        .fallback(|| async { StatusCode::NOT_FOUND })
        .layer(from_fn_with_state(state.site.clone(), web::guard::guard))
        .layer(TimeoutLayer::with_status_code(StatusCode::REQUEST_TIMEOUT, state.longest))
        .layer(CatchPanicLayer::custom(|panic: Box<dyn std::any::Any + Send>| {
            web::finish::of_panic(&*panic)
        }))
        .layer(from_fn(web::leftovers::read_to_end))
        .layer(from_fn(web::finish::finish))
        .layer(CompressionLayer::new().no_br().compress_when(Small.and(DefaultPredicate::new())))
        .layer(CompressionLayer::new())
        .layer(from_fn_with_state(state.site.clone(), web::visit::begin))
        .layer(from_fn_with_state(state.site.clone(), web::headers::protect))
        .layer(from_fn(web::request_id::number))
        .with_state(state)
}
