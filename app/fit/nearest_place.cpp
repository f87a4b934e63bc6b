#include "app/fit/nearest_place.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <utility>

namespace app {
namespace {

// The room is taken so much larger, and what is still broken by less than twice that is not looked after any more.
constexpr double kSlack_mm = 0.4 * kTouch_mm;
constexpr int kMostCuts = 80;
constexpr std::size_t kNone = std::numeric_limits<std::size_t>::max();

// The point nearest to a wanted one that keeps all half planes, as they come.
class Projection {
 public:
  explicit Projection(cv::Point2d wanted) : wanted_(wanted), at_(wanted) {}

  void add(const Contact& contact, cv::Point2d turned_vertex) {
    const cv::Point2d n = contact.plane.normal;
    contacts_.push_back(contact);
    planes_.push_back({n, contact.plane.at_mm + kSlack_mm - n.dot(turned_vertex)});
    if (possible_ && n.dot(at_) > planes_.back().at_mm) settle_on(planes_.size() - 1);
  }
  bool possible() const { return possible_; }
  cv::Point2d at() const { return at_; }
  std::vector<Contact> deciding() const {
    std::vector<Contact> contacts;
    for (const std::size_t k : deciding_)
      if (k != kNone) contacts.push_back(contacts_[k]);
    return contacts;
  }
  Wave proof() const { return possible_ ? proof_of_distance() : proof_of_none(); }

 private:
  // The new half plane was broken, so the nearest point now lies on its edge: one unknown along a line.
  void settle_on(std::size_t k) {
    const HalfPlane& plane = planes_[k];
    const cv::Point2d foot = wanted_ - (plane.normal.dot(wanted_) - plane.at_mm) * plane.normal;
    const cv::Point2d along(-plane.normal.y, plane.normal.x);
    double from = -std::numeric_limits<double>::infinity(), to = -from;
    std::size_t stops_from = kNone, stops_to = kNone;
    for (std::size_t j = 0; j < k; ++j) {
      const double slope = planes_[j].normal.dot(along), room = planes_[j].at_mm - planes_[j].normal.dot(foot);
      if (std::abs(slope) < 1e-13) {
        if (room < 0.0 && planes_[j].normal.dot(plane.normal) < 0.0) return give_up({k, j, kNone});
      } else if (slope > 0.0 && room / slope < to) {
        to = room / slope, stops_to = j;
      } else if (slope < 0.0 && room / slope > from) {
        from = room / slope, stops_from = j;
      }
    }
    if (from > to) return give_up({k, stops_from, stops_to});
    deciding_ = {k, from > 0.0 ? stops_from : to < 0.0 ? stops_to : kNone, kNone};
    at_ = foot + std::clamp(0.0, from, to) * along;
  }
  void give_up(std::array<std::size_t, 3> deciding) {
    deciding_ = deciding;
    possible_ = false;
  }
  Wave broken(std::size_t k) const {
    Wave wave = contacts_[k].broken_by(wanted_);
    wave.level -= kSlack_mm;
    return wave;
  }

  // Any weights of 0 or more prove a distance: the weighted sum of what is broken at the wanted place, over the length
  // of the weighted normals. Those that carry the way there prove all of it.
  Wave proof_of_distance() const {
    const cv::Point2d way = wanted_ - at_;
    if (deciding_[0] == kNone || std::hypot(way.x, way.y) < kTouch_mm) return {};
    if (deciding_[1] == kNone) return broken(deciding_[0]);
    const cv::Point2d m = planes_[deciding_[0]].normal, n = planes_[deciding_[1]].normal;
    const double cross = m.cross(n), sign = cross < 0.0 ? -1.0 : 1.0;
    const double u = std::max(0.0, sign * way.cross(n)), v = std::max(0.0, sign * m.cross(way));
    const cv::Point2d sum = u * m + v * n;
    const double length = std::hypot(sum.x, sum.y);
    if (!(length > 0.0)) return broken(deciding_[0]);
    Wave proof = u / length * broken(deciding_[0]);
    return proof += v / length * broken(deciding_[1]);
  }
  // Weights that let the normals cancel: then the sum of what is broken is the same at every place.
  Wave proof_of_none() const {
    const auto [i, j, k] = deciding_;
    Wave proof = broken(i);
    if (k == kNone) return proof += broken(j);
    const cv::Point2d l = planes_[i].normal, m = planes_[j].normal, n = planes_[k].normal;
    const double a = m.cross(n), b = n.cross(l), c = l.cross(m);
    if (!((a > 0.0 && b > 0.0 && c > 0.0) || (a < 0.0 && b < 0.0 && c < 0.0))) return {};  // rounding: nothing proved
    proof = std::abs(a) * proof;
    proof += std::abs(b) * broken(j);
    proof += std::abs(c) * broken(k);
    return 1.0 / std::abs(a + b + c) * proof;
  }

  cv::Point2d wanted_, at_;
  bool possible_ = true;
  std::vector<Contact> contacts_;
  std::vector<HalfPlane> planes_;
  std::array<std::size_t, 3> deciding_{kNone, kNone, kNone};
};

// The vertices that reach furthest along the axes, at the room's tangents: all that there is in a rectangle.
void add_sides(Projection& projection, const Room& room, const std::vector<cv::Point2d>& hull,
               const std::vector<cv::Point2d>& points) {
  const auto by_x = [](const cv::Point2d& p, const cv::Point2d& q) { return p.x < q.x; };
  const auto by_y = [](const cv::Point2d& p, const cv::Point2d& q) { return p.y < q.y; };
  const auto [left, right] = std::minmax_element(points.begin(), points.end(), by_x);
  const auto [low, high] = std::minmax_element(points.begin(), points.end(), by_y);
  const std::array<std::pair<cv::Point2d, cv::Point2d>, 4> sides{
      {{{1.0, 0.0}, *right}, {{-1.0, 0.0}, *left}, {{0.0, 1.0}, *high}, {{0.0, -1.0}, *low}}};
  const std::array<std::vector<cv::Point2d>::const_iterator, 4> which{right, left, high, low};
  for (std::size_t i = 0; i < 4; ++i) {
    const auto index = static_cast<std::size_t>(which[i] - points.begin());
    projection.add({room.tangent(sides[i].first), hull[index]}, sides[i].second);
  }
}

}  // namespace

NearestPlace nearest_place(const Room& room, const std::vector<cv::Point2d>& hull, double rotation_rad,
                           cv::Point2d wanted, const std::vector<Contact>& hints) {
  const std::vector<cv::Point2d> points = turned(hull, rotation_rad);
  Projection projection(wanted);
  add_sides(projection, room, hull, points);
  const double c = std::cos(rotation_rad), s = std::sin(rotation_rad);
  for (const Contact& hint : hints) {
    const cv::Point2d v = hint.vertex;
    if (projection.possible()) projection.add(hint, {c * v.x - s * v.y, s * v.x + c * v.y});
  }
  std::vector<std::size_t> met;
  for (int cuts = 0; projection.possible() && cuts < kMostCuts; ++cuts) {
    const auto worst = room.furthest(points, projection.at());
    if (!worst) break;
    const cv::Point2d p = points[*worst];
    if (!(room.outside_mm(p + projection.at()) > 2.0 * kSlack_mm)) {
      const cv::Point2d way = projection.at() - wanted;
      return {true, projection.at(), std::hypot(way.x, way.y), projection.proof(), projection.deciding()};
    }
    projection.add({room.cut(p + projection.at()), hull[*worst]}, p);
    // Seen from the wanted place a vertex that alone decides has the right tangent at once.
    if (std::find(met.begin(), met.end(), *worst) != met.end()) continue;
    met.push_back(*worst);
    if (room.outside_mm(p + wanted) > 0.0) projection.add({room.cut(p + wanted), hull[*worst]}, p);
  }
  return {false, {}, 0.0, projection.possible() ? Wave{} : projection.proof(), projection.deciding()};
}

}  // namespace app
