//! The check that is owed after the schema was brought up to date.
//!
//! Steps are kept one by one, so a start that is refused or killed in the midst of them must not be
//! forgotten by the next. The file itself remembers, in the number that SQLite keeps for programs
//! (sqlite.org/pragma.html, `user_version`); a start without steps pays nothing.

use sqlx::sqlite::SqlitePool;

use super::error::StoreError;

/// Writes down, before the first step, that the rows are to be checked after the last.
pub(super) async fn write_down(pool: &SqlitePool) -> Result<(), StoreError> {
    sqlx::query("PRAGMA user_version = 1").execute(pool).await?;
    Ok(())
}

/// Checks the rows where that is owed: a step that moves rows must not leave any that point nowhere.
///
/// # Errors
/// It left some; then the next start checks again.
pub(super) async fn settle(pool: &SqlitePool) -> Result<(), StoreError> {
    let owed: i64 = sqlx::query_scalar("PRAGMA user_version").fetch_one(pool).await?;
    if owed == 0 {
        return Ok(());
    }
    let loose: Option<String> =
        sqlx::query_scalar("SELECT \"table\" FROM pragma_foreign_key_check LIMIT 1")
            .fetch_optional(pool)
            .await?;
    if let Some(table) = loose {
        return Err(StoreError::LooseRows { table });
    }
    sqlx::query("PRAGMA user_version = 0").execute(pool).await?;
    Ok(())
}
