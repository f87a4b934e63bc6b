#include "app/records/log_trouble.h"

#include <sqlite3.h>

#include "app/format.h"
#include "app/records/migrations.h"
#include "app/records/piece_table.h"
#include "app/words/words.h"

namespace app {
namespace {

using Kind = LogTrouble::Kind;

std::string what_is_wrong(const LogTrouble& trouble) {
  const char* file = trouble.file.c_str();
  switch (trouble.kind) {
    case Kind::none:
      break;
    case Kind::full:
      return tr("The disk is full, so the record of pieces cannot be written. Make room on it.");
    case Kind::read_only:
      return format(tr("The record of pieces cannot be written: %s. Check the permissions of file and folder."), file);
    case Kind::locked:
      return format(tr("Another program holds the record of pieces: %s. Close that program."), file);
    case Kind::damaged:
      return format(tr("The record of pieces is damaged: %s. It is put aside, not deleted, and a new one is begun."),
                    file);
    case Kind::newer:
      return format(tr("A newer version of this program wrote the record of pieces: %s. Install that version again."),
                    file);
    case Kind::other:
      return format(tr("The record of pieces cannot be written: %s (%s). Check the disk."), file,
                    trouble.detail.c_str());
  }
  return {};
}

std::string where_they_are(const LogTrouble& trouble) {
  if (!trouble.journal_failed || trouble.in_memory == 0)
    return tr("Until then pieces are kept in a file beside it; none is lost.");
  const long count = static_cast<long>(trouble.in_memory);
  if (trouble.journal_full)
    return format(tr("The file beside it is full too: %ld piece is in memory only. Do not switch off.",
                     "The file beside it is full too: %ld pieces are in memory only. Do not switch off.", count),
                  count);
  return format(
      tr("The file beside it cannot be written either: %ld piece is in memory only. Do not switch off.",
         "The file beside it cannot be written either: %ld pieces are in memory only. Do not switch off.", count),
      count);
}

}  // namespace

LogTrouble::Kind kind_of(const std::exception& error) {
  if (dynamic_cast<const NewerSchema*>(&error)) return Kind::newer;
  const auto* fault = dynamic_cast<const SQLite::Exception*>(&error);
  if (!fault) return Kind::other;
  if (says_damaged(*fault)) return Kind::damaged;
  switch (fault->getErrorCode() & 0xFF) {
    case SQLITE_FULL:
      return Kind::full;
    case SQLITE_READONLY:
    case SQLITE_CANTOPEN:
    case SQLITE_PERM:
      return Kind::read_only;
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return Kind::locked;
    default:
      return Kind::other;
  }
}

std::string trouble_words(const LogTrouble& trouble) {
  const std::string wrong = what_is_wrong(trouble);
  return wrong.empty() ? wrong : wrong + " " + where_they_are(trouble);
}

}  // namespace app
