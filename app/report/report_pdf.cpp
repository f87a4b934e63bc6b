// The report on paper.
#include <algorithm>
#include <cmath>
#include <numeric>

#include "app/report/clean_text.h"
#include "app/report/drawn_plot.h"
#include "app/report/paper_flow.h"
#include "app/report/write_report.h"
#include "app/sheets/sheet_bytes.h"

namespace app {
namespace {

constexpr PrintStyle kHeading{Weight::bold, 3.0, 0.0};
constexpr PrintStyle kFactValue{Weight::bold, 3.2, 0.0};
constexpr PrintStyle kCellText{Weight::regular, 1.9, 0.0};
constexpr PrintStyle kCellStrong{Weight::bold, 1.9, 0.0};
constexpr PrintStyle kCellSmall{Weight::regular, 1.5, 0.35};
constexpr PrintStyle kNote{Weight::regular, 1.8, 0.35};
constexpr double kCellGap = 2.6;
constexpr double kWideDartMm = 112.0;

class PaperReport {
 public:
  explicit PaperReport(Paper paper) : flow_(paper) {}

  std::string written(const ReportContent& content) {
    head(content);
    for (const ReportSection& section : content.sections) {
      heading(section.title, first_height(section));
      for (const ReportPart& part : section.parts) std::visit([&](const auto& one) { write(one); }, part);
    }
    return pdf_bytes(flow_.document(clean_text(content.title), clean_text(content.made)));
  }

 private:
  void head(const ReportContent& content) {
    text(kTitleText, content.title, flow_.width());
    flow_.space(1.0);
    for (const std::string& line : content.scope) text({Weight::regular, 2.2, 0.3}, line, flow_.width());
    flow_.space(2.5);
    const std::vector<std::string> lines = wrapped(kCellText, content.fairness, flow_.width() - 8.0);
    const double pitch = Pen::line_pitch(kCellText), height = (static_cast<double>(lines.size()) + 1.0) * pitch + 4.0;
    flow_.add(height, [=, width = flow_.width()](Pen& pen, cv::Point2d at) {
      pen.fill({cv::Rect2d(at.x, at.y - height, width, height)}, 0.95);
      pen.fill({cv::Rect2d(at.x, at.y - height, 1.2, height)}, 0.35);
      double y = at.y - 2.0 - kCellText.height_mm;
      pen.text(kCellStrong, {at.x + 5.0, y}, "Read this first");
      for (const std::string& line : lines) pen.text(kCellText, {at.x + 5.0, y -= pitch}, line);
    });
  }

  // What must stand on the page of its heading.
  double first_height(const ReportSection& section) {
    if (section.parts.empty()) return 0.0;
    if (const auto* plot = std::get_if<ReportPlot>(&section.parts.front()))
      return plot_height_mm(plot->drawing, plot_width(*plot)) + 8.0;
    if (section.parts.size() > 1)
      if (const auto* plot = std::get_if<ReportPlot>(&section.parts[1]))
        return plot_height_mm(plot->drawing, plot_width(*plot)) + 24.0;
    return 22.0;
  }

  void heading(const std::string& title, double keep_with) {
    flow_.space(6.0);
    flow_.add(
        kHeading.height_mm + 5.5,
        [title = clean_text(title), width = flow_.width()](Pen& pen, cv::Point2d at) {
          pen.line({at.x, at.y}, {at.x + width, at.y}, 0.3, 0.6);
          pen.text(kHeading, {at.x, at.y - 3.0 - kHeading.height_mm}, title);
        },
        std::min(keep_with, 200.0));
    flow_.space(1.5);
  }

  std::vector<std::string> wrapped(const PrintStyle& style, const std::string& text, double width) {
    return flow_.measuring().wrap(style, clean_text(text), width);
  }

  // Line by line, so that a page may end between two.
  void text(const PrintStyle& style, const std::string& text, double width, double indent = 0.0) {
    for (const std::string& line : wrapped(style, text, width - indent))
      flow_.add(Pen::line_pitch(style), [=](Pen& pen, cv::Point2d at) {
        pen.text(style, {at.x + indent, at.y - style.height_mm}, line);
      });
  }

  void write(const std::string& paragraph) {
    text(kBodyText, paragraph, flow_.width());
    flow_.space(2.5);
  }

  void write(const std::vector<ReportFact>& facts) {
    const double gap = 3.0;
    const double width = (flow_.width() - gap * static_cast<double>(facts.size() - 1)) /
                         static_cast<double>(std::max<std::size_t>(1, facts.size()));
    std::size_t value_lines = 1, small_lines = 1;
    for (const ReportFact& one : facts) {
      value_lines = std::max(value_lines, wrapped(kFactValue, one.value, width - 5.0).size());
      small_lines = std::max(small_lines, wrapped(kCellSmall, one.small, width - 5.0).size());
    }
    const double height = 5.5 + static_cast<double>(value_lines) * Pen::line_pitch(kFactValue) +
                          static_cast<double>(small_lines) * Pen::line_pitch(kCellSmall) + 2.0;
    flow_.add(height, [=](Pen& pen, cv::Point2d at) {
      for (std::size_t i = 0; i < facts.size(); ++i) {
        const double x = at.x + static_cast<double>(i) * (width + gap);
        pen.fill({cv::Rect2d(x, at.y - height, width, height)}, 0.95);
        pen.text(kCellSmall, {x + 2.5, at.y - 2.2 - kCellSmall.height_mm}, clean_text(facts[i].name));
        double y = at.y - 5.5 - kFactValue.height_mm;
        y = pen.paragraph(kFactValue, {x + 2.5, y}, clean_text(facts[i].value), width - 5.0);
        pen.paragraph(kCellSmall, {x + 2.5, y - 1.6 - kCellSmall.height_mm}, clean_text(facts[i].small), width - 5.0);
      }
    });
    flow_.space(4.0);
  }

  void write(const std::vector<ReportStatement>& statements) {
    for (const ReportStatement& one : statements) {
      flow_.add(
          Pen::line_pitch(kStrongText),
          [lead = flow_.measuring().wrap(kStrongText, clean_text(one.lead), flow_.width())](Pen& pen, cv::Point2d at) {
            if (!lead.empty()) pen.text(kStrongText, {at.x, at.y - kStrongText.height_mm}, lead.front());
          },
          2.0 * Pen::line_pitch(kBodyText));
      rest_of_lead(one.lead);
      text(kBodyText, one.text, flow_.width());
      flow_.space(2.2);
    }
  }

  void rest_of_lead(const std::string& lead) {
    const std::vector<std::string> lines = wrapped(kStrongText, lead, flow_.width());
    for (std::size_t i = 1; i < lines.size(); ++i)
      flow_.add(Pen::line_pitch(kStrongText), [line = lines[i]](Pen& pen, cv::Point2d at) {
        pen.text(kStrongText, {at.x, at.y - kStrongText.height_mm}, line);
      });
  }

  double plot_width(const ReportPlot& plot) const { return plot.drawing.width() < 500.0 ? kWideDartMm : flow_.width(); }

  void write(const ReportPlot& plot) {
    const double width = plot_width(plot), height = plot_height_mm(plot.drawing, width);
    flow_.add(
        height + 1.5, [=, drawing = plot.drawing](Pen& pen, cv::Point2d at) { draw_plot(pen, drawing, at, width); },
        plot.caption.empty() ? 0.0 : Pen::line_pitch(kNote));
    if (!plot.caption.empty()) text(kNote, plot.caption, flow_.width());
    flow_.space(3.0);
  }

  void write(const ReportTable& table) {
    const std::vector<double> rights = column_rights(table);
    const double name_width = rights.front();
    const auto columns = [&] {
      flow_.add(
          2.0 * Pen::line_pitch(kCellSmall) + 1.5,
          [=](Pen& pen, cv::Point2d at) { draw_columns(pen, at, table, rights); }, 9.0);
    };
    flow_.add(
        Pen::line_pitch(kStrongText) + 0.8,
        [caption = clean_text(table.caption)](Pen& pen, cv::Point2d at) {
          pen.text(kStrongText, {at.x, at.y - kStrongText.height_mm}, caption);
        },
        18.0);
    columns();
    for (const auto& row : table.rows) {
      const std::vector<std::string> name = wrapped(kCellText, row.front().text, name_width);
      const double height = row_height(row, name.size());
      if (height > flow_.left_on_page()) {
        flow_.new_page();
        columns();
      }
      flow_.add(height, [=](Pen& pen, cv::Point2d at) { draw_row(pen, at, row, name, rights, height); });
    }
    flow_.space(1.2);
    if (!table.note.empty()) text(kNote, table.note, flow_.width());
    flow_.space(4.0);
  }

  static double row_height(const std::vector<ReportCell>& row, std::size_t name_lines) {
    const bool two = std::any_of(row.begin(), row.end(), [](const ReportCell& one) { return !one.small.empty(); });
    const double small = two ? Pen::line_pitch(kCellSmall) : 0.0;
    const double lines = static_cast<double>(std::max<std::size_t>(1, name_lines)) * Pen::line_pitch(kCellText);
    return (row.front().small.empty() ? std::max(lines, Pen::line_pitch(kCellText) + small) : lines + small) + 1.4;
  }

  // Each column is as wide as its widest cell; what is left belongs to the name and the gaps.
  std::vector<double> column_rights(const ReportTable& table) {
    const std::size_t n = table.columns.size();
    std::vector<double> width(n);
    Pen& pen = flow_.measuring();
    for (std::size_t c = 0; c < n; ++c) {
      for (const std::string& line : head_lines(table.columns[c]))
        width[c] = std::max(width[c], pen.width(kCellSmall, line));
      for (const auto& row : table.rows)
        width[c] =
            std::max({width[c], pen.width(row.front().text == "All" ? kCellStrong : kCellText, clean_text(row[c].text)),
                      pen.width(kCellSmall, clean_text(row[c].small))});
    }
    const double others = std::accumulate(width.begin() + 1, width.end(), 0.0);
    const double gaps = kCellGap * static_cast<double>(n - 1);
    width[0] = std::min(width[0], std::max(20.0, flow_.width() - others - gaps));
    const double spare = std::max(0.0, flow_.width() - width[0] - others - gaps);
    const double gap = kCellGap + std::min(spare / static_cast<double>(std::max<std::size_t>(1, n - 1)), 14.0);
    std::vector<double> rights(n);
    rights[0] = width[0];
    for (std::size_t c = 1; c < n; ++c) rights[c] = rights[c - 1] + gap + width[c];
    return rights;
  }

  // "Mean distance, mm": the unit below.
  static std::vector<std::string> head_lines(const std::string& column) {
    const std::size_t comma = column.find(", ");
    if (comma == std::string::npos) return {column};
    return {column.substr(0, comma), column.substr(comma + 2)};
  }

  static void draw_columns(Pen& pen, cv::Point2d at, const ReportTable& table, const std::vector<double>& rights) {
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
      const std::vector<std::string> lines = head_lines(table.columns[c]);
      for (std::size_t l = 0; l < lines.size(); ++l) {
        const double y =
            at.y - 1.2 * kCellSmall.height_mm - static_cast<double>(2 - lines.size() + l) * Pen::line_pitch(kCellSmall);
        if (c == 0)
          pen.text(kCellSmall, {at.x, y}, lines[l]);
        else
          pen.text_right(kCellSmall, {at.x + rights[c], y}, lines[l]);
      }
    }
    const double y = at.y - 2.0 * Pen::line_pitch(kCellSmall) - 0.6;
    pen.line({at.x, y}, {at.x + rights.back(), y}, 0.25, 0.5);
  }

  static void draw_row(Pen& pen, cv::Point2d at, const std::vector<ReportCell>& row,
                       const std::vector<std::string>& name, const std::vector<double>& rights, double height) {
    const PrintStyle& style = row.front().text == "All" ? kCellStrong : kCellText;
    double y = at.y - style.height_mm - 0.2;
    for (std::size_t i = 0; i < name.size(); ++i)
      pen.text(style, {at.x, y - static_cast<double>(i) * Pen::line_pitch(style)},
               pen.shortened(style, name[i], rights.front()));
    const double below_name =
        y - static_cast<double>(std::max<std::size_t>(1, name.size()) - 1) * Pen::line_pitch(style);
    pen.text(kCellSmall, {at.x, below_name - Pen::line_pitch(kCellSmall)}, clean_text(row.front().small));
    for (std::size_t c = 1; c < row.size(); ++c) {
      pen.text_right(style, {at.x + rights[c], y}, clean_text(row[c].text));
      pen.text_right(kCellSmall, {at.x + rights[c], y - Pen::line_pitch(kCellSmall)}, clean_text(row[c].small));
    }
    pen.line({at.x, at.y - height + 0.6}, {at.x + rights.back(), at.y - height + 0.6}, kHairMm, 0.8);
  }

  PaperFlow flow_;
};

}  // namespace

std::string report_pdf(const ReportContent& content, Paper paper) { return PaperReport(paper).written(content); }

}  // namespace app
