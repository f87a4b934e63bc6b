// The records at the station: today's pieces as a dart board, the weeks, hints, and each piece. The chosen operator's
// own come first; anybody else's, and everyone's together, only by a touch made for that.
#pragma once

#include <array>
#include <chrono>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "app/views/page_view.h"
#include "app/views/records/records_reader.h"

namespace app {

class RecordsView : public PageView {
 public:
  void entered(Desk& desk) override;
  bool go_back(Desk& desk) override;

  // What is shown is not yet what is asked for; for tests and pictures.
  bool reading() const;
  // The thread that reads has something to do, so that drawing anew shows nothing new.
  bool reader_busy() const { return reader_ && reader_->busy(); }
  // What is shown; null before the first answer.
  std::shared_ptr<const RecordsSeen> seen() const { return seen_; }

 protected:
  void about_to_draw(const Desk& desk) override { look(desk); }
  PageHeader header(const Desk& desk) const override;
  std::vector<Button> row(const Desk& desk) const override;
  std::vector<Button> draw_main(Sheet& sheet) override;
  void draw_over(Sheet& sheet) override;
  void pressed(int id, Desk& desk) override;

 private:
  // Over the page, the last on top.
  enum class Sub { evidence, piece, its_operator, its_job, shown, whose, span, hoop, cloth, job, about };
  enum Id {
    kInspect = 1,
    kShown,
    kAbout,
    kItsOperator,
    kItsJob,
    kSetAside,
    kUndo,
    kFirstPage = 20,
    kFirstTrend = 30,
    kFirstHint = 40,
    kFirstEntry = 1000
  };
  struct Undo {
    std::string field, value;
  };

  std::optional<Sub> top() const { return subs_.empty() ? std::nullopt : std::optional(subs_.back()); }
  void open(Sub sub);
  RecordsAsk wanted() const;
  void start_anew(const Desk& desk);
  void look(const Desk& desk);
  bool answered() const;

  // records_view.cpp
  std::string headline() const;
  std::string what_is_shown() const;
  std::vector<Button> tabs() const;
  std::vector<Button> trend_keys() const;
  SDL_FRect draw_notices(Sheet& sheet) const;
  void press_piece_key(int id, Desk& desk);
  void press_entry(std::size_t index, Desk& desk);
  void correct(Desk& desk, const std::string& field, const std::string& value, const std::string& before,
               const std::string& words);

  // records_pages.cpp
  std::vector<Button> draw_page(Sheet& sheet, const SDL_FRect& area);
  std::vector<Button> draw_board(Sheet& sheet, const SDL_FRect& area);
  std::vector<Button> draw_weeks(Sheet& sheet, SDL_FRect area);
  std::vector<Button> draw_hints(Sheet& sheet, const SDL_FRect& area);
  std::vector<Button> draw_list(Sheet& sheet, const SDL_FRect& area, std::span<const PieceRow> rows, int columns);
  std::vector<Button> draw_evidence(Sheet& sheet, const SDL_FRect& area);
  std::vector<Button> draw_piece(Sheet& sheet, const SDL_FRect& area);
  void draw_about(Sheet& sheet, const SDL_FRect& area) const;

  // records_choices.cpp
  std::vector<Button> choices(const Desk& desk) const;
  void choose(std::size_t index, Desk& desk);

  RecordsPage page_ = RecordsPage::board;
  std::array<RecordsSpan, kRecordsPages> spans_{};
  std::optional<std::string> whose_;  // nothing: everyone
  std::string own_;                   // of the chosen operator; empty: nobody is
  std::optional<std::string> hoop_, cloth_, job_;
  TrendOf trend_of_ = TrendOf::distance;
  std::vector<Sub> subs_;
  Hint hint_;                            // whose evidence is open
  std::vector<std::string> hint_names_;  // of its rows
  PlacementFigures evidence_figures_;
  std::optional<std::int64_t> opened_;
  std::optional<Undo> undo_;  // of the opened piece

  std::unique_ptr<RecordsReader> reader_;
  std::shared_ptr<const RecordsSeen> seen_;
  std::optional<RecordsAsk> asked_;
  std::chrono::steady_clock::time_point asked_at_{};
  int pieces_ = -1;         // of the work, when it was asked
  bool corrected_ = false;  // and not yet asked for since
  bool landscape_ = true;
  std::vector<PieceRow> listed_;  // of the list that shows, by id less kFirstEntry
  std::vector<Button> over_;      // buttons with something of the view's own on them
};

}  // namespace app
